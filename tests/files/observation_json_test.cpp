// Observations, effects and explanations as JSON: one line, every component by its name.
#include "penstock/layouts.hpp"
#include "penstock/observation_json.hpp"
#include "penstock/simulation.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace {

using namespace penstock;
using nlohmann::json;

struct scene {
  layout of = *layout::from(layouts::twin_freighter());
  simulation playing{of, plant_kind::quasi_static};

  [[nodiscard]] json seen() const { return json::parse(json_of(of, observe(of, playing.now()))); }
  [[nodiscard]] std::string name(component kind, std::uint8_t i) const { return std::string{of.name({kind, i})}; }
};

TEST(ObservationJson, IsOneLineWithEveryComponentByName) {
  const scene now;
  EXPECT_EQ(json_of(now.of, observe(now.of, now.playing.now())).find('\n'), std::string::npos);
  const json all = now.seen();
  const std::pair<const char*, component> groups[] = {
      {"engines", component::engine},
      {"engine_pumps", component::engine_pump},
      {"electric_pumps", component::electric_pump},
      {"ram_air_pumps", component::ram_air_pump},
      {"circuits", component::circuit},
      {"units", component::transfer_unit},
      {"doors", component::cargo_door},
      {"consumers", component::consumer},
      {"stored", component::store},
      {"buses", component::bus}};
  for (const auto& [group, kind] : groups) {
    ASSERT_TRUE(all[group].is_object()) << group;
    EXPECT_EQ(all[group].size(), now.of.count(kind)) << group;
    for (std::uint8_t i = 0; i < now.of.count(kind); ++i) EXPECT_TRUE(all[group].contains(now.name(kind, i))) << group;
  }
}

TEST(ObservationJson, WritesEnumeratorsAsTheirWordsAndNobodyAsNull) {
  scene now;
  EXPECT_TRUE(now.seen()["buses"]["bus-1"]["source"].is_null());
  now.playing.apply(events::external_power(true));
  now.playing.apply(events::lever(0, lever_position::open));
  const json all = now.seen();
  EXPECT_EQ(all["buses"]["bus-1"]["source"], "external");
  EXPECT_EQ(all["circuits"]["port"]["status"], "partial");
  EXPECT_EQ(all["electric_pumps"]["cargo-pump"]["reason"], "delivering");
  EXPECT_EQ(all["units"]["transfer"]["reasons"], json::array({"service"}));
  EXPECT_EQ(all["consumers"]["controls"]["reason"], "isolated");
}

TEST(ObservationJson, CarriesEachAlertWithClassRuleAndOnset) {
  scene now;
  now.playing.advance(milliseconds{2500});
  now.playing.apply(events::steering(false));
  const json alerts = now.seen()["alerts"];
  ASSERT_EQ(alerts.size(), 1U);
  EXPECT_EQ(alerts[0]["condition"], "steering");
  EXPECT_EQ(alerts[0]["level"], "advisory");
  EXPECT_EQ(alerts[0]["rule"], "STR-1");
  EXPECT_EQ(alerts[0]["onset"], 2500);
  EXPECT_TRUE(alerts[0]["under"].is_null());
}

TEST(EffectsJson, NamesRowsAndRefusals) {
  scene now;
  now.playing.apply(events::external_power(true));
  const json done = json::parse(json_of(now.of, now.playing.apply(events::lever(0, lever_position::open))));
  EXPECT_EQ(done["accepted"], true);
  EXPECT_TRUE(done["refused"].is_null());
  EXPECT_EQ(done["rows"][0]["component"], "forward");
  EXPECT_EQ(done["rows"][0]["from"], "idle");
  EXPECT_EQ(done["rows"][0]["to"], "asking");
  EXPECT_EQ(done["rows"][0]["rules"], json::array({"CGO-1"}));

  const json refused = json::parse(json_of(now.of, now.playing.apply(events::steering(true))));
  EXPECT_EQ(refused["accepted"], false);
  EXPECT_EQ(refused["refused"]["kind"], "no-meaning");
  EXPECT_EQ(refused["refused"]["rule"], "GEN-2");
}

TEST(ExplanationJson, IsAChainWithDepths) {
  scene now;
  now.playing.apply(events::external_power(true));
  now.playing.advance(milliseconds{1000});
  now.playing.apply(events::lever(0, lever_position::open));
  const json why = json::parse(json_of(now.of, explain(now.of, now.playing.now(), events::electric_pump(0))));
  ASSERT_GT(why["chain"].size(), 1U);
  EXPECT_EQ(why["chain"][0]["depth"], 0);
  EXPECT_EQ(why["chain"][0]["about"], "cargo-pump");
  EXPECT_EQ(why["chain"][1]["depth"], 1);
  EXPECT_EQ(why["chain"][1]["since"], 1000);
}

}  // namespace
