#include "config/text.hpp"

#include <gtest/gtest.h>

#include "told.hpp"

namespace panewalk::config {
namespace {

std::string refused(std::string_view text, const Limits& limits = kProjectFile) {
  const auto tree = read_text(text, limits);
  return tree.ok() ? std::string{} : told(tree.error());
}

TEST(Text, KeepsEveryValueWithItsOffset) {
  const auto read =
      read_text("{\n  \"a\": [1, -2.5, \"x\\n\"],\n  \"b\" : { \"c\": null }, \"d\":true}");
  ASSERT_TRUE(read.ok());
  const Node& root = read.value().root;
  ASSERT_EQ(root.members.size(), 3U);
  const Member& a = root.members[0];
  EXPECT_EQ(a.name, "a");
  EXPECT_EQ(a.offset, 4U);
  EXPECT_EQ(a.value.offset, 9U);
  ASSERT_EQ(a.value.elements.size(), 3U);
  EXPECT_EQ(a.value.elements[0].offset, 10U);
  EXPECT_EQ(a.value.elements[0].whole, 1);
  EXPECT_EQ(a.value.elements[1].offset, 13U);
  EXPECT_EQ(a.value.elements[1].number, -2.5);
  EXPECT_FALSE(a.value.elements[1].whole.has_value());
  EXPECT_EQ(a.value.elements[2].offset, 19U);
  EXPECT_EQ(a.value.elements[2].text, "x\n");
  const Member& b = root.members[1];
  EXPECT_EQ(b.offset, 29U);
  EXPECT_EQ(b.value.offset, 35U);
  EXPECT_EQ(b.value.members.at(0).offset, 37U);
  EXPECT_EQ(b.value.members.at(0).value.kind, Node::Kind::kNull);
  EXPECT_EQ(b.value.members.at(0).value.offset, 42U);
  EXPECT_EQ(root.members[2].offset, 50U);
  EXPECT_EQ(root.members[2].value.offset, 54U);
  EXPECT_TRUE(root.members[2].value.truth);
}

TEST(Text, TakesANumberWithoutAFractionAsWholeHoweverItIsWritten) {
  const auto read = read_text("[11, 11.0, 1.1e1, 11.5, -9223372036854775808]");
  ASSERT_TRUE(read.ok());
  const auto& numbers = read.value().root.elements;
  EXPECT_EQ(numbers[0].whole, 11);
  EXPECT_EQ(numbers[1].whole, 11);
  EXPECT_EQ(numbers[2].whole, 11);
  EXPECT_EQ(numbers[3].whole, std::nullopt);
  EXPECT_EQ(numbers[4].whole, INT64_MIN);
}

TEST(Text, SaysWhatIsMissingBetweenTokens) {
  EXPECT_EQ(refused(""), "f.json:1:1: the text is empty; an object is needed\n");
  EXPECT_EQ(refused(" \n\t"), "f.json:2:2: the text is empty; an object is needed\n");
  EXPECT_EQ(refused("{\"a\" 1}"), "f.json:1:6: found \"1\"; a colon is needed after the name\n");
  EXPECT_EQ(refused("{\"a\": 1\n \"b\": 2}"),
            "f.json:2:2: found \"\\\"\"; a comma or \"}\" is needed\n");
  EXPECT_EQ(refused("[1 2]"), "f.json:1:4: found \"2\"; a comma or \"]\" is needed\n");
  EXPECT_EQ(refused("[1, 2"), "f.json:1:6: the text ends too early; a comma or \"]\" is needed\n");
  EXPECT_EQ(refused("{"),
            "f.json:1:2: the text ends too early; a name in double quotes or \"}\" is needed\n");
  EXPECT_EQ(refused("{a: 1}"),
            "f.json:1:2: found \"a\"; a name in double quotes or \"}\" is needed\n");
  EXPECT_EQ(refused("{\"a\":}"), "f.json:1:6: found \"}\"; a value is needed here\n");
  EXPECT_EQ(refused("{\"a\":1,}"),
            "f.json:1:8: a comma with nothing after it; no comma after the last one\n");
  EXPECT_EQ(refused("[1,\n]"),
            "f.json:2:1: a comma with nothing after it; no comma after the last one\n");
  EXPECT_EQ(refused("[,1]"), "f.json:1:2: found \",\"; a value is missing in front of the comma\n");
  EXPECT_EQ(refused("{} {}"), "f.json:1:4: text after the end: found \"{\"; nothing may follow\n");
  EXPECT_EQ(refused("{\"a\": [1}"), "f.json:1:9: found \"}\"; a comma or \"]\" is needed\n");
}

TEST(Text, SaysWhatIsWrongWithAValue) {
  EXPECT_EQ(refused("[True]"),
            "f.json:1:2: found \"True\"; texts need double quotes; bare words are true, false, "
            "null\n");
  EXPECT_EQ(refused("['x']"),
            "f.json:1:2: found a single quote; double quotes are needed around texts\n");
  EXPECT_EQ(refused("[.5]"), "f.json:1:2: found \".\"; a value is needed here\n");
  EXPECT_EQ(refused("[5.]"), "f.json:1:2: not a number: \"5.\"; such as 12, -3 or 0.5\n");
  EXPECT_EQ(refused("[ 012]"), "f.json:1:3: a number can't begin with 0: \"012\"\n");
  EXPECT_EQ(refused("{\"a\":1-2}"), "f.json:1:6: not a number: \"1-2\"; such as 12, -3 or 0.5\n");
  EXPECT_EQ(refused("[1.5.2]"), "f.json:1:2: not a number: \"1.5.2\"; such as 12, -3 or 0.5\n");
  EXPECT_EQ(refused("[-01]"), "f.json:1:2: a number can't begin with 0: \"-01\"\n");
  EXPECT_EQ(refused("[true1]"), "f.json:1:6: found \"1\"; a comma or \"]\" is needed\n");
  EXPECT_EQ(refused("[-]"), "f.json:1:2: not a number: \"-\"; such as 12, -3 or 0.5\n");
  EXPECT_EQ(refused("[\"a\nb\"]"),
            "f.json:1:2: a text that is not closed in its line; a double quote ends it\n");
  EXPECT_EQ(refused("[\"ä\tb\"]"), "f.json:1:4: a tab inside a text; \\t, or a blank\n");
  EXPECT_EQ(refused("[\"a\\qb\"]"),
            "f.json:1:4: a backslash that begins no escape; \\\\ is a backslash, \\\" a quote, \\n "
            "a line break\n");
  EXPECT_EQ(refused("[\"\\u12\"]"), "f.json:1:3: \\u without four hex digits; such as \\u00b5\n");
  EXPECT_EQ(refused("[\"\\ud800\"]"),
            "f.json:1:3: half of a surrogate pair; write the character itself\n");
}

TEST(Text, RefusesNumbersThatOverflow) {
  EXPECT_EQ(refused("[1e400]"), "f.json:1:2: a number too large: \"1e400\"\n");
  EXPECT_EQ(refused("[9223372036854775807]"), "");
  EXPECT_EQ(refused("[9223372036854775808]"),
            "f.json:1:2: a number too large: \"9223372036854775808\"\n");
  EXPECT_EQ(refused("[ 100000000000000000000]"),
            "f.json:1:3: a number too large: \"100000000000000000000\"\n");
}

TEST(Text, RefusesComments) {
  EXPECT_EQ(refused("{ // why\n}"),
            "f.json:1:3: comments are not allowed; JSON has none; words may go into \"about\"\n");
  EXPECT_EQ(refused("[1, /* two */ 2]"),
            "f.json:1:5: comments are not allowed; JSON has none; words may go into \"about\"\n");
  EXPECT_EQ(refused("# site\n{}"),
            "f.json:1:1: comments are not allowed; JSON has none; words may go into \"about\"\n");
}

TEST(Text, RefusesWhatIsNotUtf8) {
  EXPECT_EQ(refused("{\n\"ä\": \"\xff\"}"),
            "f.json:2:7: not UTF-8: byte 0xff; save the text as UTF-8\n");
  // Overlong, surrogate, above U+10FFFF, cut off: RFC 3629 section 4.
  EXPECT_EQ(refused("[\"\xc0\x80\"]"),
            "f.json:1:3: not UTF-8: byte 0xc0; save the text as UTF-8\n");
  EXPECT_EQ(refused("[\"\xed\xa0\x80\"]"),
            "f.json:1:3: not UTF-8: byte 0xed; save the text as UTF-8\n");
  EXPECT_EQ(refused("[\"\xf4\x90\x80\x80\"]"),
            "f.json:1:3: not UTF-8: byte 0xf4; save the text as UTF-8\n");
  EXPECT_EQ(refused("[\"\xe2\x82"), "f.json:1:3: not UTF-8: byte 0xe2; save the text as UTF-8\n");
  EXPECT_EQ(refused("\xef\xbb\xbf{}"),
            "f.json:1:1: the text begins with a byte order mark; save it as UTF-8 without one\n");
  EXPECT_EQ(refused(std::string_view{"{}\0", 3}),
            "f.json:1:3: a control character: byte 0x00; remove it\n");
}

TEST(Text, NamesEveryDoubledName) {
  EXPECT_EQ(refused("{\"a\": 1,\n \"a\": 2, \"b\": [{\"c\": 1, \"c\": 2}],\n \"a\": 3}"),
            "f.json:2:2: /a: the name is there twice, first in line 1; keep one of the two\n"
            "f.json:2:25: /b/0/c: the name is there twice, first in line 2; keep one of the two\n"
            "f.json:3:2: /a: the name is there twice, first in line 1; keep one of the two\n");
  EXPECT_EQ(refused("{\"a\": 1, \"\\u0061\": 2}"),
            "f.json:1:10: /a: the name is there twice, first in line 1; keep one of the two\n");
}

TEST(Text, TellsDoubledNamesAndTheFaultThatEndsTheReading) {
  EXPECT_EQ(refused("{\"a\": 1, \"a\": 2, }"),
            "f.json:1:10: /a: the name is there twice, first in line 1; keep one of the two\n"
            "f.json:1:18: a comma with nothing after it; no comma after the last one\n");
}

TEST(Text, HoldsItsLimits) {
  const Limits small{.bytes = 30, .depth = 2, .values = 4, .string_bytes = 3};
  EXPECT_EQ(refused("[[1]]", small), "");
  EXPECT_EQ(refused("[ [[]]]", small),
            "f.json:1:4: too deep: lists and objects inside each other; at most 2\n");
  EXPECT_EQ(refused("[1,2,3]", small), "");
  EXPECT_EQ(refused("[1,2,3,4]", small), "f.json:1:8: too many values; at most 4\n");
  EXPECT_EQ(refused("[\"abc\"]", small), "");
  EXPECT_EQ(refused("[\"abcd\"]", small), "f.json:1:2: a text of 4 bytes; at most 3\n");
  EXPECT_EQ(refused("{\"abcd\":1}", small), "f.json:1:2: a text of 4 bytes; at most 3\n");
  EXPECT_EQ(refused(std::string(30, ' ') + '1', small),
            "f.json: the text has 31 bytes; at most 30\n");
}

TEST(Text, ReadsThousandsOfDeepListsWithoutHarm) {
  EXPECT_EQ(refused(std::string(100'000, '[')),
            "f.json:1:13: too deep: lists and objects inside each other; at most 12\n");
}

TEST(Text, PrintsShortThingsInOneLineAndLongOnesIndented) {
  const auto tree = read_text(
      "{\"a\":[\"0 mm\",\"1 "
      "m\"],\"b\":{\"long\":\"0123456789012345678901234567890123456789\",\"er\":"
      "\"0123456789012345678901234567890123456789\"},\"c\":[],\"d\":{},\"e\":0.5,\"f\":"
      "\"\\\"\\n\"}");
  ASSERT_TRUE(tree.ok());
  EXPECT_EQ(to_text(tree.value().root),
            "{\n"
            "  \"a\": [\"0 mm\", \"1 m\"],\n"
            "  \"b\": {\n"
            "    \"long\": \"0123456789012345678901234567890123456789\",\n"
            "    \"er\": \"0123456789012345678901234567890123456789\"\n"
            "  },\n"
            "  \"c\": [],\n"
            "  \"d\": {},\n"
            "  \"e\": 0.5,\n"
            "  \"f\": \"\\\"\\n\"\n"
            "}\n");
}

}  // namespace
}  // namespace panewalk::config
