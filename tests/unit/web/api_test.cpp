#include "web/api.hpp"

#include <gtest/gtest.h>

#include "boathouse.hpp"
#include "golden.hpp"
#include "site/map_export.hpp"
#include "web/bodies.hpp"
#include "web/gate.hpp"

namespace panewalk::web {
namespace {

using test::Golden;
using test::Scene;

const Door kDoor{.address = "127.0.0.1", .port = 7007};

Scene scene_of(const std::string& view) {
  if (view == "lit") return test::lit_scene();
  if (view == "network") return test::network_scene();
  Scene scene;
  if (view == "first frame") {
    scene.look = test::lit_scene().look;
    scene.lit_asked = true;
  }
  return scene;
}

std::string word_of(const std::optional<Command>& command) {
  if (!command) return "none";
  if (std::holds_alternative<Dark>(*command)) return "dark";
  if (std::holds_alternative<Release>(*command)) return "release";
  if (const auto* look = std::get_if<engine::Look>(&*command)) {
    std::string text = "light";
    for (const auto& lit : look->lit) text += ' ' + std::to_string(lit.prop);
    return text;
  }
  constexpr const char* kSteps[] = {"next", "back", "hold", "on"};
  return kSteps[static_cast<int>(std::get<engine::StepAsked>(*command))];
}

class HttpGolden : public testing::TestWithParam<Golden> {};

TEST_P(HttpGolden, IsAnsweredWithTheseBytes) {
  const Golden& golden = GetParam();
  const Scene scene = scene_of(golden.view);
  const Request request = test::to_request(golden.request);
  std::optional<Command> command;
  Response response;
  if (auto refused = turned_away(request, kDoor)) {
    response = *refused;
  } else {
    Answer answer = handle(request, scene.view());
    response = answer.response;
    command = std::move(answer.command);
  }
  const Part part = request.method == "HEAD" ? Part::kHead : Part::kWhole;
  EXPECT_EQ(to_bytes(response, Connection::kStays, part), test::on_the_wire(golden.answer));
  EXPECT_EQ(word_of(command), golden.command);
}

std::string name_of(const testing::TestParamInfo<Golden>& info) {
  std::string name = info.param.name;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}
INSTANTIATE_TEST_SUITE_P(Files, HttpGolden, testing::ValuesIn(test::all_goldens()), name_of);

Request post(const std::string& target, const std::string& body) {
  return {.method = "POST", .target = target, .body = body, .content_type = "application/json"};
}

const engine::Look& look_of(const Answer& answer) {
  return std::get<engine::Look>(answer.command.value());
}

TEST(Api, SaysWhichPixelsVoltsKeepTheLightDown) {
  Scene scene = test::lit_scene();
  engine::SupplyStatus& supply = scene.live.status.supplies[0];
  supply.factor = 1;
  supply.low_volts = engine::LowVolts{.prop = 0,
                                      .pixel = base::PixelIndex::of(4),
                                      .lowest = base::Volts::of(9.84),
                                      .least = base::Volts::of(10.8),
                                      .factor = 0.62};
  const Answer answer = handle({.method = "GET", .target = "/api/light"}, scene.view());
  EXPECT_NE(answer.response.body.find("\"text\": \"oar-rack dimmed to 62 %: its pixel 4 would have "
                                      "9.8 V, it needs 10.8 V\""),
            std::string::npos)
      << answer.response.body;
}

TEST(Api, GivesTheMapThatTheCommandLineGives) {
  const Scene scene;
  const Answer answer = handle({.method = "GET", .target = "/api/props/lantern/map"}, scene.view());
  EXPECT_EQ(answer.response.status, 200);
  EXPECT_EQ(answer.response.body, site::map_as_json(*scene.plan, 1));
}

TEST(Api, TakesALevelAsAShareOrInPercent) {
  const Scene scene;
  const struct {
    const char* level;
    double share;
  } kLevels[] = {{R"("30 %")", 0.3}, {"0.3", 0.3},  {"1", 1.0},  {"0", 0.0},
                 {"1.0", 1.0},       {"1e-1", 0.1}, {"-0", 0.0}, {R"("100 %")", 1.0}};
  for (const auto& [level, share] : kLevels) {
    const Answer answer =
        handle(post("/api/light",
                    std::string{R"({"prop":"lantern","pattern":"steady","level":)"} + level + "}"),
               scene.view());
    ASSERT_TRUE(answer.command) << level << answer.response.body;
    EXPECT_DOUBLE_EQ(look_of(answer).asked.share(), share) << level;
  }
}

TEST(Api, LightsAtThirtyPercentUnlessTold) {
  const Scene scene;
  const Answer answer =
      handle(post("/api/light", R"({"prop":"lantern","pattern":"steady"})"), scene.view());
  EXPECT_DOUBLE_EQ(look_of(answer).lit[0].level.share(), 0.3);
}

TEST(Api, TakesALevelUpToThePropsCap) {
  const Scene scene;
  const Answer answer = handle(
      post("/api/light", R"({"props":["oar-rack"],"pattern":"steady","level":0.9})"), scene.view());
  EXPECT_DOUBLE_EQ(look_of(answer).asked.share(), 0.9);
  EXPECT_DOUBLE_EQ(look_of(answer).lit[0].level.share(), 0.5);
}

TEST(Api, RefusesEveryOtherLevel) {
  const Scene scene;
  for (const char* level : {"1.01", "-0.1", "30", "1e9", "true", "null", "[]", "{}", R"("30")",
                            R"("101 %")", R"("-1 %")", R"("")", "9223372036854775807"}) {
    const Answer answer =
        handle(post("/api/light",
                    std::string{R"({"prop":"lantern","pattern":"steady","level":)"} + level + "}"),
               scene.view());
    EXPECT_EQ(answer.response.status, 400) << level;
    EXPECT_FALSE(answer.command) << level;
    EXPECT_NE(answer.response.body.find(R"("where": "/level")"), std::string::npos) << level;
  }
}

TEST(Api, RefusesABodyThatIsTooDeepTooLongOrNoJson) {
  const Scene scene;
  const std::string deep = std::string(2000, '[') + std::string(2000, ']');
  for (const std::string& body :
       {deep, std::string("{"), std::string("\xff"), std::string("{}{}"), std::string("// {}"),
        std::string(R"({"prop":1e400})"), "{\"prop\":\"" + std::string(5000, 'a') + "\"}"}) {
    for (const char* target : {"/api/light", "/api/step", "/api/dark", "/api/release"}) {
      const Answer answer = handle(post(target, body), scene.view());
      EXPECT_EQ(answer.response.status, 400) << target << ' ' << body.substr(0, 40);
      EXPECT_FALSE(answer.command);
    }
  }
  EXPECT_EQ(
      handle(post("/api/light", std::string(kMostBody + 1, ' ')), scene.view()).response.status,
      413);
}

TEST(Api, TakesJsonByAnySpellingOfItsTypeAndNothingElse) {
  Request request = post("/api/dark", "{}");
  const Scene scene;
  for (const char* type : {"application/json", "application/json; charset=utf-8",
                           "Application/JSON;charset=utf-8", "application/json ;charset=utf-8"}) {
    request.content_type = type;
    EXPECT_EQ(handle(request, scene.view()).response.status, 200) << type;
  }
  for (const char* type :
       {"", "text/plain", "application/jsonp", "application/x-www-form-urlencoded",
        "multipart/form-data", "application/jso", "text/plain, application/json"}) {
    request.content_type = type;
    const Answer answer = handle(request, scene.view());
    EXPECT_EQ(answer.response.status, 415) << type;
    EXPECT_FALSE(answer.command) << type;
  }
}

TEST(Api, ServesNoPathThatItDoesNotKnow) {
  const Scene scene;
  for (const char* target :
       {"", "*", "/api", "/api/", "/api/site/", "/API/site", "//api/site", "/../etc/passwd",
        "/api/props//map/", "/api/props/a/b/map", "/api/props", "/index.html", "http://x/api/site",
        "/%61pi/site", "/api/site%00"}) {
    EXPECT_EQ(handle({.method = "GET", .target = target}, scene.view()).response.status, 404)
        << target;
  }
}

TEST(Api, AnswersEveryMethodItDoesNotTakeWithThoseItTakes) {
  const Scene scene;
  for (const char* method : {"PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "get", ""}) {
    const Answer answer = handle({.method = method, .target = "/api/light"}, scene.view());
    EXPECT_EQ(answer.response.status, 405) << method;
    ASSERT_EQ(answer.response.headers.size(), 1U);
    EXPECT_EQ(answer.response.headers[0].first, "Allow");
    EXPECT_EQ(answer.response.headers[0].second, "GET, HEAD, POST");
  }
}

TEST(Api, SaysWhatALookOfTheStreamLacksWhileTheStreamIsAFrameBehind) {
  Scene scene = test::lit_scene();
  scene.live.status.props[0].beat = 40;  // of the look before, which had more
  const std::string body = light_body(scene.view(), Layout::kOneLine);
  EXPECT_NE(body.find(R"("prop":"oar-rack","lit":true,"beat":1,"beats":4)"), std::string::npos)
      << body;
  scene.look.reset();
  const std::string without = light_body(scene.view(), Layout::kOneLine);
  EXPECT_NE(without.find(R"("prop":"oar-rack","lit":true,"beat":null,"beats":null)"),
            std::string::npos)
      << without;
}

TEST(Api, LeavesOutCountersSoThatOnlyRealChangesAreTold) {
  Scene scene = test::lit_scene();
  const auto without = [&scene] {
    return light_body(scene.view(), Layout::kOneLine, Counters::kLeftOut);
  };
  const std::string before = without();
  scene.live.status.frames += 40;
  scene.live.errors.packets += 80;
  scene.live.errors.failing.first[0].state.errors += 1;
  scene.live.missed += 1;
  EXPECT_EQ(without(), before);
  scene.live.status.sent.prop(0)[0].blue = 1;
  EXPECT_NE(without(), before);
}

TEST(Api, SaysWhyLightWasHeldBack) {
  Scene scene = test::lit_scene();
  scene.live.status.held->prop.reset();
  scene.live.status.held->reason = light::Held::Reason::kRedFlash;
  scene.live.status.supplies[0] = {
      .asked = base::Amps::of(5.25), .most = base::Amps::of(5), .factor = 0};
  const std::string body = light_body(scene.view(), Layout::kOneLine);
  EXPECT_NE(body.find(R"("held":{"why":"red flash","prop":null,"text":"held back 0.2 s: all lit )"
                      R"(props together would flash red more often than 3 times a second"})"),
            std::string::npos)
      << body;
  constexpr const char* kDark =
      R"-("factor":0.0,"text":"dark: the idle current alone, 5.2 A, is more than the supply )-"
      R"-(gives (5.0 A)")-";
  EXPECT_NE(body.find(kDark), std::string::npos) << body;
}

TEST(Api, QuotesWhatIsNoUtf8WithoutFailing) {
  const Scene scene;
  const Answer answer = handle({.method = "GET", .target = "/\xff\xfe"}, scene.view());
  EXPECT_EQ(answer.response.status, 404);
  EXPECT_NE(answer.response.body.find("\"where\": \"/\xef\xbf\xbd\xef\xbf\xbd\""),
            std::string::npos);
}

}  // namespace
}  // namespace panewalk::web
