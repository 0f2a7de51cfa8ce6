// Layouts from YAML: what is read, every complaint with its place, and the way back.
#include "penstock/layout_file.hpp"

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <limits>

#include "files/complaints.hpp"
#include "penstock/layouts.hpp"
#include "support/rule_test.hpp"

namespace {

using namespace penstock;
using penstock_tests::complaint_wanted;
using penstock_tests::expect_complaint;
using penstock_tests::with;

// All numbers here are invented.
const std::string probe = R"(name: probe
title: A probe
origin: invented
nominal: 3000 psi
circuits-low-warning: 1
engines:
  - name: engine-1
    spool-up: 25 s
circuits:
  - name: port
    reservoir: 20 L
electric-pumps:
  - name: cargo-pump
    circuit: port
    bus: bus-1
    duty: cargo
cargo-doors:
  - {name: forward, circuit: port}
consumers:
  - name: forward-drive
    kind: cargo-door
    feeds: [{circuit: port, branch: service}]
    door: forward
buses:
  - {name: bus-1, sources: [external, engine-1]}
)";

void expect_wrong(std::string_view part, std::string_view instead, const complaint_wanted& wanted) {
  expect_complaint(layout_from_yaml(with(probe, part, instead), "probe.yaml"), wanted);
}

TEST(LayoutFile, ReadsWhatIsThereAndLeavesTheRestAtItsDefault) {
  const auto read = layout_from_yaml(probe, "probe.yaml");
  ASSERT_TRUE(read) << to_string(read.problem());
  EXPECT_EQ(read->spec().engines[0].spool_up, std::chrono::seconds{25});
  EXPECT_EQ(read->spec().circuits[0].overfull, circuit_spec{}.overfull);
  EXPECT_EQ(read->plan().bus_at[0].sources[0], penstock::detail::plan::external);
  EXPECT_EQ(read->name({component::circuit, 0}), "port");
}

TEST(LayoutFile, RefusesAMisspeltKeyAndNamesTheNearest) {
  expect_wrong("spool-up", "spoolup", {"layout-key", 8, 5, "did you mean \"spool-up\"?"});
  expect_wrong("engines:", "engins:", {"layout-key", 6, 1, "did you mean \"engines\"?"});
  expect_wrong("branch: service", "brunch: service", {"layout-key", 22, 29, "did you mean \"branch\"?"});
}

TEST(LayoutFile, RefusesAKeyThatStandsTwice) {
  expect_wrong("    spool-up: 25 s\n", "    spool-up: 25 s\n    spool-up: 20 s\n",
               {"yaml-twice", 9, 5, "\"spool-up\" stands twice"});
}

TEST(LayoutFile, RefusesAnUnknownComponentAndNamesTheNearest) {
  expect_wrong("{name: forward, circuit: port}", "{name: forward, circuit: prot}",
               {"layout-reference", 18, 30, "there is no circuit \"prot\" (did you mean \"port\"?); possible: port"});
  expect_wrong("bus: bus-1", "bus: bus-2", {"layout-reference", 15, 10, "there is no bus \"bus-2\""});
  expect_wrong("bus: bus-1", "bus: port", {"layout-reference", 15, 10, "\"port\" is not a bus"});
  expect_wrong("[external, engine-1]", "[external, engine-2]",
               {"layout-reference", 25, 39, "there is no power source \"engine-2\""});
}

TEST(LayoutFile, RefusesADuplicateName) {
  expect_wrong("name: cargo-pump", "name: port", {"layout-name-twice", 13, 11, "stands already for circuit number 1"});
}

TEST(LayoutFile, RefusesNamesThatAreNone) {
  expect_wrong("- name: port", "- name: Port", {"layout-name", 10, 11, "lower case letter"});
  expect_wrong("- name: port", "- name: 1st", {"layout-name", 10, 11, "lower case letter"});
  expect_wrong("- name: port", "- name: ", {"layout-name", 10, 10, "its name is missing"});
  expect_wrong("- name: port", "- name: steering", {"layout-name-reserved", 10, 11, "meaning of their own"});
  expect_wrong("- name: port", "- name: " + std::string(41, 'a'),
               {"layout-name", 10, 11, "41 characters; the limit is 40"});
}

TEST(LayoutFile, RefusesANegativeTime) {
  expect_wrong("spool-up: 25 s", "spool-up: -25 s", {"time-form", 8, 15, "it is negative"});
  expect_wrong("spool-up: 25 s", "spool-up: 0 s", {"layout-range", 8, 15, "more than 0"});
  expect_wrong("spool-up: 25 s", "spool-up: 25", {"time-form", 8, 15, "it has no unit, possible are ms, s, min or h"});
}

TEST(LayoutFile, RefusesNumbersThatAreNone) {
  expect_wrong("reservoir: 20 L", "reservoir: nan L", {"volume-form", 11, 16, "not a volume"});
  expect_wrong("reservoir: 20 L", "reservoir: .inf", {"volume-form", 11, 16, "not a volume"});
  expect_wrong("reservoir: 20 L", "reservoir: 20", {"volume-form", 11, 16, "no unit"});
  expect_wrong("nominal: 3000 psi", "nominal: 1e400 psi", {"pressure-form", 4, 10, "not a pressure"});
  expect_wrong("circuits-low-warning: 1", "circuits-low-warning: 0", {"layout-range", 5, 23, "must be 1 to 4"});
  expect_wrong("circuits-low-warning: 1", "circuits-low-warning: 5", {"layout-range", 5, 23, "must be 1 to 4"});
}

TEST(LayoutFile, RefusesValuesOutsideTheirRange) {
  expect_wrong("reservoir: 20 L", "reservoir: 2000 L", {"layout-range", 11, 16, "0.1 L to 1000 L"});
  expect_wrong("nominal: 3000 psi", "nominal: 1500 psi", {"layout-order", 1, 1, "switch-made must be below nominal"});
  expect_wrong("reservoir: 20 L", "reservoir: 5 L", {"layout-order", 10, 5, "low-mark must be below reservoir"});
}

TEST(LayoutFile, RefusesWhatIsMissing) {
  expect_wrong("    kind: cargo-door\n", "", {"layout-missing", 20, 5, "consumer \"forward-drive\" has no kind"});
  expect_wrong("origin: invented\n", "", {"layout-missing", 1, 1, "no origin"});
  expect_wrong("spool-up: 25 s", "spool-up:", {"layout-form", 8, 14, "has no value"});
}

TEST(LayoutFile, RefusesTheWrongSortOfValue) {
  expect_wrong("spool-up: 25 s", "spool-up: [25 s]",
               {"layout-form", 8, 15, "must be a time such as 12 s; found a list"});
  expect_wrong("[{circuit: port, branch: service}]", "port", {"layout-form", 22, 12, "must be a list"});
  expect_wrong("duty: cargo", "duty: carg", {"layout-value", 16, 11, "did you mean \"cargo\"?"});
  expect_wrong("duty: cargo", "starts-allowed: 16", {"layout-range", 16, 21, "0 to 15"});
  expect_complaint(layout_from_yaml("- a\n- b\n", "x"), {"layout-form", 1, 1, "a layout must be a map of keys"});
}

TEST(LayoutFile, RefusesMoreThanItsLimits) {
  std::string engines = "engines:\n";
  for (int i = 1; i <= 5; ++i) engines += "  - name: engine-" + std::to_string(i) + "\n";
  expect_wrong("engines:\n  - name: engine-1\n    spool-up: 25 s\n", engines,
               {"layout-limit", 11, 5, "5 engines; the limit is 4"});
  std::string doors = "cargo-doors:\n";
  for (int i = 1; i <= 100'000; ++i) doors += "  - {}\n";
  expect_wrong("cargo-doors:\n", doors, {"layout-limit", 24, 5, "the limit is 6"});
  expect_wrong("[{circuit: port, branch: service}]",
               "[{circuit: a}, {circuit: b}, {circuit: c}, {circuit: d}, {circuit: e}]",
               {"layout-limit", 22, 69, "5 entries; the limit is 4"});
}

TEST(LayoutFile, RefusesWhatDangles) {
  expect_wrong("    door: forward\n", "", {"layout-reference", 20, 5, "door names no cargo door; possible: forward"});
  expect_wrong("duty: cargo", "duty: none", {"layout-duty-missing", 18, 30, "no electric pump with duty cargo"});
  expect_wrong("branch: service", "branch: main", {"layout-branch", 22, 13, "service branch"});
  expect_wrong("buses:\n", "stores:\n  - {name: spare, circuit: port}\nbuses:\n",
               {"layout-unused", 25, 5, "no consumer"});
}

TEST(LayoutFile, RefusesAnEmptyFileAndHugeLines) {
  expect_complaint(layout_from_yaml("", "x"), {"yaml-empty", 1, 1, "empty"});
  expect_complaint(layout_from_yaml("name: " + std::string(1'000'000, 'x') + "\norigin: invented\n", "x"),
                   {"layout-name", 1, 7, "the limit is 40"});
  expect_complaint(layout_from_yaml(std::string(1'000'000, 'x') + ": y\n", "x"),
                   {"yaml-syntax", 1, 1'000'001, "not YAML"});
  expect_wrong("name: probe", "name: " + std::string(1'000'000, 'x'), {"layout-name", 1, 7, "the limit is 40"});
}

// The shipped aircraft.

TEST(ShippedAircraft, AreAllRead) {
  ASSERT_EQ(shipped_layouts().size(), 3U);
  for (const shipped_file& one : shipped_layouts()) {
    const auto read = load_layout(std::string{one.name});
    ASSERT_TRUE(read) << to_string(read.problem());
    EXPECT_EQ(read->spec().name, one.name);
    EXPECT_EQ(read->spec().origin, "invented");
  }
}

TEST(ShippedAircraft, ReadBackFromWhatIsWritten) {
  for (const shipped_file& one : shipped_layouts()) {
    const auto read = load_layout(std::string{one.name});
    ASSERT_TRUE(read);
    const std::string text = yaml_of(read->spec());
    const auto again = layout_from_yaml(text, "again.yaml");
    ASSERT_TRUE(again) << to_string(again.problem()) << '\n' << text;
    EXPECT_TRUE(again->spec() == read->spec()) << one.name;
    EXPECT_EQ(yaml_of(again->spec()), text);
  }
}

TEST(ShippedAircraft, TheTwinIsTheOneBuiltWithoutFiles) {
  const auto read = load_layout("twin-freighter");
  ASSERT_TRUE(read);
  EXPECT_TRUE(read->spec() == layouts::twin_freighter());
  EXPECT_EQ(yaml_of(read->spec()), yaml_of(layouts::twin_freighter()));
}

// 14 CFR 25.735(h): stored energy for at least 6 full applications.
RULE_TEST(ShippedAircraft, StoresHoldSixApplicationsOrMore, "CON-3 CON-6") {
  for (const shipped_file& one : shipped_layouts()) {
    const auto read = load_layout(std::string{one.name});
    ASSERT_TRUE(read);
    for (std::size_t i = 0; i < read->count(component::store); ++i) {
      EXPECT_GE(read->plan().store_at[i].most_applications, 6U) << one.name;
    }
  }
}

RULE_TEST(ShippedAircraft, UnitsAreInhibitedParkedOrUnderTow, "PTU-2") {
  for (const shipped_file& one : shipped_layouts()) {
    const auto read = load_layout(std::string{one.name});
    ASSERT_TRUE(read);
    for (const transfer_unit_spec& unit : read->spec().transfer_units) {
      EXPECT_EQ(unit.scope, inhibit_scope::parked_or_towed) << unit.name;
    }
  }
}

TEST(LayoutFile, WritesAwkwardTextSoThatItReadsBack) {
  layout_spec spec = layouts::twin_freighter();
  spec.title = "quote \" backslash \\ colon: # \xC3\xA9 \xE2\x80\xA8 \xEF\xBB\xBF \xC2\x85 end ";
  spec.origin = "- yes";
  const auto again = layout_from_yaml(yaml_of(spec), "again.yaml");
  ASSERT_TRUE(again) << to_string(again.problem());
  EXPECT_EQ(again->spec().title, spec.title);
  EXPECT_EQ(again->spec().origin, spec.origin);
}

// Files.

class LayoutOnDisk : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = std::filesystem::path{testing::TempDir()} / "penstock-layout-on-disk";
    std::filesystem::create_directories(folder_);
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  std::string written(const std::string& name, const std::string& text) const {
    std::ofstream{folder_ / name, std::ios::binary} << text;
    return (folder_ / name).string();
  }
  std::filesystem::path folder_;
};

TEST_F(LayoutOnDisk, IsReadByItsPath) {
  const auto read = load_layout(written("probe.yaml", probe));
  ASSERT_TRUE(read) << to_string(read.problem());
  EXPECT_EQ(read->spec().name, "probe");
}

TEST_F(LayoutOnDisk, ComplaintsNameTheFile) {
  const std::string path = written("probe.yaml", with(probe, "duty", "dutty"));
  const auto read = load_layout(path);
  ASSERT_FALSE(read);
  EXPECT_EQ(read.problem().where.file, path);
  EXPECT_EQ(to_string(read.problem()).substr(0, path.size() + 7), path + ":16:5: ");
}

TEST_F(LayoutOnDisk, WhatIsNotThereOrNoFileIsAnError) {
  expect_complaint(load_layout((folder_ / "absent.yaml").string()), {"file-read", 0, 0, "cannot be opened"});
  expect_complaint(file_content(folder_.string()), {"file-read", 0, 0, "cannot be read"});
  expect_complaint(file_content(""), {"file-read", 0, 0, "empty"});
  expect_complaint(file_content(written("big", std::string((16U << 20U) + 1, 'x'))), {"file-size", 0, 0, "16 MB"});
  EXPECT_EQ(file_content(written("most", std::string(16U << 20U, 'x')))->size(), 16U << 20U);
}

TEST(LayoutFile, AnUnknownAircraftNamesTheNearest) {
  expect_complaint(load_layout("twin-frieghter"), {"layout-unknown", 0, 0, "did you mean \"twin-freighter\"?"});
}

}  // namespace
