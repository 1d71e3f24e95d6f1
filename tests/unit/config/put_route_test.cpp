#include "config/put_route.hpp"

#include <gtest/gtest.h>

#include <string>

namespace panewalk::config {
namespace {

std::string put(const std::string& text, const std::vector<std::string>& runs) {
  const auto tree = read_text(text);
  if (!tree.ok()) {
    ADD_FAILURE() << text;
    return "";
  }
  return put_route(tree.value(), runs);
}

TEST(PutRoute, ReplacesAListAndNothingElse) {
  EXPECT_EQ(put("{ \"wiring\":{\"route\" : [ \"A [1]\",\n\t\"(B2)\" ] ,\"spares\":[]}}\n",
                {"A1 B1", "(B1) C1"}),
            "{ \"wiring\":{\"route\" : [\"A1 B1\", \"(B1) C1\"] ,\"spares\":[]}}\n");
}

TEST(PutRoute, ReplacesAWishWithQuotesInTheTextBefore) {
  EXPECT_EQ(put(R"({"about":"\"route\": [1]","wiring":{"route":"fewest splices"}})", {"A B"}),
            R"({"about":"\"route\": [1]","wiring":{"route":["A B"]}})");
}

TEST(PutRoute, BreaksALongListIntoLines) {
  const std::string run(90, 'A');
  EXPECT_EQ(put("{\r\n  \"wiring\": { \"route\": [] }\r\n}", {run, "B"}),
            "{\r\n  \"wiring\": { \"route\": [\r\n    \"" + run + "\",\r\n    \"B\"\r\n  ] }\r\n}");
}

TEST(PutRoute, PutsInWhatIsMissing) {
  EXPECT_EQ(put(R"({ "wiring": { "spares": [] } })", {"A B"}),
            R"({ "wiring": { "route": ["A B"], "spares": [] } })");
  EXPECT_EQ(put(R"({ "wiring": {} })", {"A B"}), R"({ "wiring": { "route": ["A B"] } })");
  EXPECT_EQ(put("{\n    \"sections\": [ {} ]\n}", {"A B"}),
            "{\n    \"sections\": [ {} ],\n    \"wiring\": { \"route\": [\"A B\"] }\n}");
}

}  // namespace
}  // namespace panewalk::config
