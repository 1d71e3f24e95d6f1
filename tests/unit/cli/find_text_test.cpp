#include "cli/find_text.hpp"

#include <gtest/gtest.h>

namespace panewalk::cli {
namespace {

TEST(FindingAsText, SaysWhatWhereHowSureAndWhatToDo) {
  const find::Finding finding{.likeliest = {}, .also_possible = {}, .questions = 4};
  const find::FindingWords words{
      .fault = "data-open=17",
      .second = "colour-order=RGB",
      .station = "A1-B1/4",
      .index = 17,
      .text = "The data stops after pixel 17. Pixel 18 and all after it get none.",
      .suspects = {"Pixel 17: its data output", "Pixel 18: its data input"},
      .how_sure = "97 %: 4 answers, and all fit.",
      .also = {"A count of 17 at the controller (2 %)"},
      .steps = {"Power off.", "Look at both ends of the wire for a cold joint or a broken strand."},
      .confirm = "Run the pattern chase."};
  EXPECT_EQ(finding_as_text(finding, words, 50),
            "Finding after 4 questions: data-open=17 and colour-order=RGB\n"
            "The data stops after pixel 17. Pixel 18 and all\n"
            "after it get none.\n"
            "Certainty 97 %: 4 answers, and all fit.\n"
            "Suspects:\n"
            "  - Pixel 17: its data output\n"
            "  - Pixel 18: its data input\n"
            "It can also be:\n"
            "  - A count of 17 at the controller (2 %)\n"
            "What to do:\n"
            "  1. Power off.\n"
            "  2. Look at both ends of the wire for a cold\n"
            "     joint or a broken strand.\n"
            "Afterwards:\n"
            "  - Run the pattern chase.\n");
}

TEST(FindingAsText, LeavesOutWhatThereIsNot) {
  const find::Finding finding{.likeliest = {}, .also_possible = {}, .questions = 1};
  EXPECT_EQ(
      finding_as_text(
          finding, {.text = "Nothing is wrong.", .how_sure = "99 %: 1 answer, and it fits."}, 80),
      "Finding after 1 question: none\n"
      "Nothing is wrong.\n"
      "Certainty 99 %: 1 answer, and it fits.\n");
}

}  // namespace
}  // namespace panewalk::cli
