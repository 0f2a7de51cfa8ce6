// The shipped JSON Schemas are those that the library makes of its own vocabulary.
// To accept a change: PENSTOCK_WRITE_SCHEMAS=1 and run this test; then review the difference like code.
#include "files/schemas.hpp"

#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include <gtest/gtest.h>

#include "files/layout_fields.hpp"
#include "penstock/event.hpp"
#include "penstock/layout_file.hpp"

namespace {

using namespace penstock;
using json = nlohmann::json;

std::string_view shipped(std::string_view name) {
  for (const shipped_file& one : shipped_schemas()) {
    if (one.name == name) return one.text;
  }
  return {};
}

void expect_shipped(std::string_view name, const std::string& made) {
  if (std::getenv("PENSTOCK_WRITE_SCHEMAS") != nullptr) {
    std::ofstream{std::string{PENSTOCK_SOURCE_FOLDER} + "/src/schemas/" + std::string{name} + ".json"} << made;
    return;
  }
  EXPECT_EQ(shipped(name), made) << name << ".json is not what the library makes of its vocabulary";
}

TEST(Schemas, LayoutFileIsTheOneOfTheFieldTable) { expect_shipped("layout", files::layout_schema()); }
TEST(Schemas, LessonFileIsTheOneOfTheVocabulary) { expect_shipped("lesson", files::lesson_schema()); }
TEST(Schemas, EventFileIsTheOneOfTheVocabulary) { expect_shipped("event", files::event_schema()); }
TEST(Schemas, AnswerFileIsTheOneOfTheVocabulary) { expect_shipped("answer", files::answer_schema()); }
TEST(Schemas, TraceFileIsTheOneOfTheVocabulary) { expect_shipped("trace", files::trace_schema()); }

TEST(Schemas, EventSchemaHasEveryKindAndEveryFault) {
  const json schema = json::parse(files::event_schema());
  std::set<std::string> events;
  std::set<std::string> faults;
  for (const json& form : schema["oneOf"]) {
    events.insert(form["properties"]["event"]["const"].get<std::string>());
    if (form["properties"].contains("fault")) faults.insert(form["properties"]["fault"]["const"].get<std::string>());
  }
  for (const event_form& form : event_forms()) EXPECT_TRUE(events.contains(std::string{form.word})) << form.word;
  for (const std::string_view one : penstock::detail::words_of<fault>::list) {
    EXPECT_TRUE(faults.contains(std::string{one})) << one;
  }
}

TEST(Schemas, LayoutSchemaStatesEveryLimit) {
  const json schema = json::parse(files::layout_schema());
  files::for_each_list([&](std::string_view key, auto, auto, std::size_t least, std::size_t most, auto) {
    const json& list = schema["properties"][std::string{key}];
    EXPECT_EQ(list["maxItems"], most) << key;
    EXPECT_EQ(list.value("minItems", 0U), least) << key;
  });
}

}  // namespace
