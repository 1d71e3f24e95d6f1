#include "find/answer.hpp"

#include "boathouse.hpp"

namespace panewalk::find {
namespace {

/// "Which …?" with so many pictures.
Question question(Ask ask, std::size_t pictures = 1) {
  return {.ask = ask,
          .pictures = std::vector<Picture>(pictures),
          .station = std::nullopt,
          .shown = "all pixels in white"};
}

Said word(const std::string& text) { return {.words = {text}}; }
Said list(std::vector<std::string> words) { return {.words = std::move(words), .is_list = true}; }

class Answers : public testing::Test {
 protected:
  /// The values, "unsure", or the problem as a line.
  std::string read(const Question& asked, const Said& answer) {
    const auto sighting = read_answer(prop_.subject(), asked, answer);
    if (!sighting.ok()) return base::to_line(sighting.error());
    if (sighting.value().unsure) return "unsure";
    std::string values;
    for (const std::int16_t value : sighting.value()) {
      values += (values.empty() ? "" : " ") + std::to_string(value);
    }
    return values;
  }
  std::string index(const std::string& station) {
    return std::to_string(prop_.station(station).value());
  }

  test::HungProp prop_ = test::hung_slip_window();
};

TEST_F(Answers, AreYesOrNo) {
  EXPECT_EQ(read(question(Ask::kSame), word("yes")), "1");
  EXPECT_EQ(read(question(Ask::kSame), word("no")), "0");
  EXPECT_EQ(read(question(Ask::kHold), word("held")), "1");
  EXPECT_EQ(read(question(Ask::kHold), word("dark")), "0");
  EXPECT_EQ(read(question(Ask::kSame), list({"no"})), "0");
}

TEST_F(Answers, ThatAreNotAskedForAreToldWhatIs) {
  EXPECT_EQ(read(question(Ask::kSame), word("yess")),
            "\"yess\" is no answer to this; did you mean \"yes\"?");
  EXPECT_EQ(read(question(Ask::kSame), word("held")),
            "\"held\" is no answer to this; allowed: \"yes\", \"no\" or \"unsure\"");
  EXPECT_EQ(read(question(Ask::kHold), list({})),
            "there is no answer; allowed: \"held\", \"dark\" or \"unsure\"");
  EXPECT_EQ(read(question(Ask::kSame), list({"yes", "no"})),
            "one answer is wanted, 2 were given; allowed: \"yes\", \"no\" or \"unsure\"");
}

TEST_F(Answers, AreUnsureWhateverIsAsked) {
  for (const Ask ask :
       {Ask::kSame, Ask::kWhere, Ask::kOther, Ask::kLastLit, Ask::kColours, Ask::kHold}) {
    EXPECT_EQ(read(question(ask), word("unsure")), "unsure");
    EXPECT_EQ(read(question(ask), list({"unsure"})), "unsure");
  }
  EXPECT_EQ(read(question(Ask::kWhere), list({"A1", "unsure"})),
            "\"unsure\" is not said together with something else; \"unsure\" alone");
}

TEST_F(Answers, NameStationsEachOnceAndInOrder) {
  EXPECT_EQ(read(question(Ask::kWhere), list({"A1-B1/2", "C3", "A1", "C3"})),
            index("A1") + ' ' + index("C3") + ' ' + index("A1-B1/2"));
  // The same bar from its other end: of four places inside the third is the second.
  EXPECT_EQ(read(question(Ask::kWhere), list({"B1-A1/3"})), index("A1-B1/2"));
  EXPECT_EQ(read(question(Ask::kWhere), word("B2")), index("B2"));
  EXPECT_EQ(read(question(Ask::kWhere), list({})), "");
  EXPECT_EQ(read(question(Ask::kWhere), word("none")), "");
}

TEST_F(Answers, TellAllThatIsWrongWithStations) {
  EXPECT_EQ(read(question(Ask::kWhere), word("b2")),
            "no station is named \"b2\"; did you mean \"B2\"?");
  EXPECT_EQ(read(question(Ask::kWhere), list({"A1-B1/99", "A1", "D7", "none"})),
            "\"none\" is not said together with stations; no station is named \"A1-B1/99\" or "
            "\"D7\"; \"none\" alone; did you mean \"A1-B1/1\" by \"A1-B1/99\"?; names are as on "
            "the drawing, such as \"A1\" or \"A1-B1/1\"");
  std::vector<std::string> all;
  for (const prop::Station& station : prop_.subject().frame->stations()) {
    if (all.size() < 16) all.push_back(station.name);
  }
  EXPECT_EQ(read(question(Ask::kWhere), list(all)),
            "16 stations are named; at most 15; where more are lit, \"unsure\"");
  EXPECT_EQ(read(question(Ask::kWhere), {}),
            "there is no answer; stations, \"none\" or \"unsure\"");
}

TEST_F(Answers, NameTheLastStationByItsPlaceOnTheRoute) {
  EXPECT_EQ(read(question(Ask::kLastLit), word("A3")), "1");
  EXPECT_EQ(read(question(Ask::kLastLit), word("A1")), "13");
  EXPECT_EQ(read(question(Ask::kLastLit), word("none")), "0");
  EXPECT_EQ(read(question(Ask::kLastLit), word("all")), "63");
  EXPECT_EQ(read(question(Ask::kLastLit), list({"A1", "A3"})),
            "one answer is wanted, 2 were given; a station, \"none\", \"all\" or \"unsure\"");
  EXPECT_EQ(read(question(Ask::kLastLit), word("E5")),
            "no station is named \"E5\"; names are as on the drawing, such as \"A1\" or "
            "\"A1-B1/1\"");
  EXPECT_EQ(read(question(Ask::kLastLit), word("non")),
            "no station is named \"non\"; did you mean \"none\"?");
}

TEST(AnswersAtAnEmptyPlace, AreTakenForWhatIsSeenAndNotForTheRoute) {
  const test::HungProp prop{{.name = "rail"},
                            test::frame_of({test::section(
                                prop::LineShape{test::at(0, 0), test::at(450, 0), 10}, {"A-B/3"})}),
                            test::route({"A B"})};
  const auto where = read_answer(prop.subject(), question(Ask::kWhere), list({"A-B/3"}));
  ASSERT_TRUE(where.ok());
  EXPECT_EQ(where.value(), Sighting::of(static_cast<std::int32_t>(prop.station("A-B/3").value())));
  const auto last = read_answer(prop.subject(), question(Ask::kLastLit), word("A-B/3"));
  ASSERT_FALSE(last.ok());
  EXPECT_EQ(base::to_line(last.error()),
            "no pixel sits at \"A-B/3\"; a station that carries a pixel");
}

TEST_F(Answers, NameAnotherProp) {
  EXPECT_EQ(read(question(Ask::kOther), word("eaves-line")), "2");
  EXPECT_EQ(read(question(Ask::kOther), word("none")), "-1");
  EXPECT_EQ(read(question(Ask::kOther), word("door-rin")),
            "no prop is named \"door-rin\"; did you mean \"door-ring\"?");
  EXPECT_EQ(read(question(Ask::kOther), word("slip-window")),
            "\"slip-window\" is the prop itself; allowed: \"door-ring\", \"eaves-line\", \"none\" "
            "or \"unsure\"");
}

TEST_F(Answers, NameAColourAPicture) {
  EXPECT_EQ(read(question(Ask::kColours, 3), list({"red", "dark", "magenta"})), "1 0 7");
  EXPECT_EQ(read(question(Ask::kColours), word("white")), "4");
  EXPECT_EQ(read(question(Ask::kColours), word("whit")),
            "\"whit\" is no colour of ours; did you mean \"white\"?");
  EXPECT_EQ(
      read(question(Ask::kColours, 3), list({"orange", "pink", "red"})),
      "\"orange\" and \"pink\" are no colours of ours; allowed: \"dark\", \"red\", \"green\", "
      "\"blue\", \"white\", \"yellow\", \"cyan\", \"magenta\" or \"unsure\"");
  EXPECT_EQ(read(question(Ask::kColours, 3), list({"red", "gren"})),
            "3 colours are wanted, one a picture, 2 were given; \"gren\" is no colour of ours; did "
            "you mean \"green\"?");
  EXPECT_EQ(read(question(Ask::kColours), list({})),
            "1 colour is wanted, none were given; allowed: \"dark\", \"red\", \"green\", \"blue\", "
            "\"white\", \"yellow\", \"cyan\", \"magenta\" or \"unsure\"");
}

TEST_F(Answers, AreSaidAsTheyAreRead) {
  const practice::Subject& subject = prop_.subject();
  const std::vector<std::pair<Question, Said>> all{
      {question(Ask::kSame), word("yes")},
      {question(Ask::kSame), word("unsure")},
      {question(Ask::kHold), word("held")},
      {question(Ask::kWhere), list({"A1", "C3", "A1-B1/2"})},
      {question(Ask::kWhere), list({})},
      {question(Ask::kOther), word("door-ring")},
      {question(Ask::kOther), word("none")},
      {question(Ask::kLastLit), word("none")},
      {question(Ask::kLastLit), word("A1-B1/2")},
      {question(Ask::kLastLit), word("all")},
      {question(Ask::kColours, 2), list({"cyan", "dark"})}};
  for (const auto& [asked, answer] : all) {
    const auto sighting = read_answer(subject, asked, answer);
    ASSERT_TRUE(sighting.ok()) << base::to_line(sighting.error());
    EXPECT_EQ(said(subject, asked, sighting.value()), answer);
  }
}

TEST_F(Answers, HaveTheirFewChoicesListed) {
  const auto listed = [this](Ask ask) {
    return base::listed(choices(prop_.subject(), question(ask)));
  };
  EXPECT_EQ(listed(Ask::kSame), "yes, no and unsure");
  EXPECT_EQ(listed(Ask::kHold), "held, dark and unsure");
  EXPECT_EQ(listed(Ask::kWhere), "none and unsure");
  EXPECT_EQ(listed(Ask::kLastLit), "none, all and unsure");
  EXPECT_EQ(listed(Ask::kOther), "door-ring, eaves-line, none and unsure");
  EXPECT_EQ(listed(Ask::kColours),
            "dark, red, green, blue, white, yellow, cyan, magenta and unsure");
}

}  // namespace
}  // namespace panewalk::find
