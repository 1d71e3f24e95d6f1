#include "config/text_editor.hpp"

#include <gtest/gtest.h>

#include "config/write.hpp"

namespace panewalk::config {
namespace {

TextEditor editor(const std::string& text) {
  auto tree = read_text(text);
  if (tree.ok()) return TextEditor{std::move(tree).value()};
  ADD_FAILURE() << text;
  return TextEditor{{}};
}

std::string set(const std::string& text, const std::string& pointer, const Node& value) {
  TextEditor edited = editor(text);
  edited.set(pointer, value);
  return edited.text();
}
std::string put_in(const std::string& text, const std::string& pointer, const Node& value,
                   const std::string& behind) {
  TextEditor edited = editor(text);
  edited.put_in(pointer, value, behind);
  return edited.text();
}
std::string removed(const std::string& text, const std::string& pointer) {
  TextEditor edited = editor(text);
  edited.remove(pointer);
  return edited.text();
}

const Node kSeven = number_node(7);

TEST(TextEditor, FindsByPointer) {
  const TextEditor edited = editor(R"({ "a/b": [10, { "c~d": "x" }] })");
  ASSERT_NE(edited.find("/a~1b/1/c~0d"), nullptr);
  EXPECT_EQ(edited.find("/a~1b/1/c~0d")->text, "x");
  EXPECT_EQ(edited.find("")->kind, Node::Kind::kObject);
  EXPECT_EQ(edited.find("/a~1b/2"), nullptr);
  EXPECT_EQ(edited.find("/a~1b/0/c"), nullptr);
  EXPECT_EQ(edited.find("/a"), nullptr);
}

TEST(TextEditor, ReplacesAValueAndNothingElse) {
  EXPECT_EQ(set("{\t\"a\" : 1 , \"b\":[ 2,\n3 ]}\n\n", "/a", kSeven),
            "{\t\"a\" : 7 , \"b\":[ 2,\n3 ]}\n\n");
  EXPECT_EQ(set("{\t\"a\" : 1 , \"b\":[ 2,\n3 ]}", "/b/1", kSeven),
            "{\t\"a\" : 1 , \"b\":[ 2,\n7 ]}");
  EXPECT_EQ(set(R"({"a":{"b":"}]"},"c":1})", "/a", kSeven), R"({"a":7,"c":1})");
  EXPECT_EQ(set(R"({"a":"\"","b":-1.5e3})", "/b", text_node("x\"")), R"({"a":"\"","b":"x\""})");
}

TEST(TextEditor, PutsAMemberBehindTheLastInItsLine) {
  EXPECT_EQ(set(R"({ "a": 1 })", "/b", kSeven), R"({ "a": 1, "b": 7 })");
  EXPECT_EQ(set("{ \"p\": [\n    { \"a\": 1,\n      \"b\": 2, \"c\": 3 }\n] }", "/p/0/d", kSeven),
            "{ \"p\": [\n    { \"a\": 1,\n      \"b\": 2, \"c\": 3, \"d\": 7 }\n] }");
}

TEST(TextEditor, PutsAMemberOnALineOfItsOwnWhereTheLastHasOne) {
  EXPECT_EQ(set("{\r\n\t\"a\": {\r\n\t}\r\n}\r\n", "/b", kSeven),
            "{\r\n\t\"a\": {\r\n\t},\r\n\t\"b\": 7\r\n}\r\n");
  EXPECT_EQ(set("{ \"a\": 1,\n  \"b\": 2 }", "/c", kSeven),
            "{ \"a\": 1,\n  \"b\": 2,\n  \"c\": 7 }");
}

TEST(TextEditor, PutsAMemberBelowTheFirstWhereTheLineIsFull) {
  const std::string wide(90, 'w');
  EXPECT_EQ(set("{\n  \"w\": { \"a\": \"" + wide + "\" }\n}", "/w/b", kSeven),
            "{\n  \"w\": { \"a\": \"" + wide + "\",\n         \"b\": 7 }\n}");
}

TEST(TextEditor, FillsWhatIsEmpty) {
  EXPECT_EQ(set(R"({ "a": {} })", "/a/b", kSeven), R"({ "a": { "b": 7 } })");
  EXPECT_EQ(set("{ \"a\": {\n} }", "/a/b", kSeven), R"({ "a": { "b": 7 } })");
  EXPECT_EQ(set(R"({ "a": [ ] })", "/a/0", kSeven), R"({ "a": [7] })");
}

TEST(TextEditor, PutsAnElementBehindTheLast) {
  EXPECT_EQ(set(R"({ "a": [1, 2] })", "/a/2", kSeven), R"({ "a": [1, 2, 7] })");
  EXPECT_EQ(set("[\n  1\n]", "/1", kSeven), "[\n  1,\n  7\n]");
}

TEST(TextEditor, PutsAMemberBehindAnother) {
  EXPECT_EQ(put_in(R"({ "a": 1, "c": 3 })", "/b", kSeven, "a"), R"({ "a": 1, "b": 7, "c": 3 })");
  EXPECT_EQ(put_in("{\n  \"a\": [1,\n    2],\n  \"c\": 3\n}", "/b", kSeven, "a"),
            "{\n  \"a\": [1,\n    2],\n  \"b\": 7,\n  \"c\": 3\n}");
  EXPECT_EQ(put_in("{\n  \"a\": 1\n}", "/b", kSeven, ""), "{\n  \"b\": 7,\n  \"a\": 1\n}");
}

TEST(TextEditor, TakesOutAMemberWithItsComma) {
  EXPECT_EQ(removed(R"({ "a": 1, "b": 2, "c": 3 })", "/a"), R"({ "b": 2, "c": 3 })");
  EXPECT_EQ(removed(R"({ "a": 1, "b": 2, "c": 3 })", "/b"), R"({ "a": 1, "c": 3 })");
  EXPECT_EQ(removed(R"({ "a": 1, "b": 2, "c": 3 })", "/c"), R"({ "a": 1, "b": 2 })");
  EXPECT_EQ(removed("{\n  \"a\": 1,\n  \"b\": 2,\n  \"c\": 3\n}", "/b"),
            "{\n  \"a\": 1,\n  \"c\": 3\n}");
  EXPECT_EQ(removed("{\n  \"a\": 1,\n  \"b\": 2\n}", "/b"), "{\n  \"a\": 1\n}");
  EXPECT_EQ(removed("{ \"a\": 1, \"b\": 2,\n  \"c\": 3 }", "/b"), "{ \"a\": 1,\n  \"c\": 3 }");
  EXPECT_EQ(removed(R"({ "a": { "b": 2 } })", "/a/b"), R"({ "a": {} })");
}

TEST(TextEditor, TakesOutAnElement) {
  EXPECT_EQ(removed(R"([ "a, b", ["c"], 3 ])", "/0"), R"([ ["c"], 3 ])");
  EXPECT_EQ(removed(R"([ "a, b", ["c"], 3 ])", "/1"), R"([ "a, b", 3 ])");
  EXPECT_EQ(removed(R"([ "a, b", ["c"], 3 ])", "/2"), R"([ "a, b", ["c"] ])");
}

// A text may be longer afterwards than a file may be; whoever reads it says so.
TEST(TextEditor, HasNoLimitsOfItsOwn) {
  const std::string first = "{\"a\":\"" + std::string(4096, 'x') + '"';
  const std::string long_text(5000, 'y');
  EXPECT_EQ(set(first + '}', "/b", text_node(long_text)),
            first + ",\n \"b\": \"" + long_text + "\"}");
}

}  // namespace
}  // namespace panewalk::config
