#include "runner/vary_result.hpp"

#include "files/json_values.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/version.hpp"
#include "runner/failure.hpp"
#include "runner/played_lesson.hpp"
#include "runner/timeline_json.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <optional>
#include <tuple>
#include <utility>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;

auto key_of(const broken_expectation& one) {
  return std::tie(one.where.file, one.where.line, one.where.column, one.words);
}

json value_of(const broken_expectation& one) {
  return {{"words", one.words}, {"where", runner::value_of(one.where)}};
}

json value_of(const breaking_variation& one) {
  return {{"number", one.number},
          {"changes", one.changes},
          {"unmet", one.unmet},
          {"at", one.at},
          {"first", value_of(one.first)},
          {"found", one.found}};
}

broken_expectation expectation_from(const json& value) {
  const json& where = value.at("where");
  return {{where.at("file").get<std::string>(), where.at("line").get<std::uint32_t>(),
           where.at("column").get<std::uint32_t>()},
          value.at("words").get<std::string>()};
}

vary_result result_from(const json& value) {
  vary_result read;
  read.asked = value.at("asked");
  read.total = value.at("total").get<std::size_t>();
  read.parts = value.at("parts").at("of").get<std::size_t>();
  read.parts_played = value.at("parts").at("played").get<std::set<std::size_t>>();
  read.played = value.at("played").get<std::size_t>();
  for (const json& each : value.at("expectations")) {
    read.expectations.push_back({expectation_from(each), each.at("variations").get<std::size_t>()});
  }
  for (const json& each : value.at("variations")) {
    read.breaking.push_back({each.at("number").get<std::size_t>(),
                             each.at("changes").get<std::vector<std::string>>(),
                             each.at("at").get<std::uint32_t>(),
                             expectation_from(each.at("first")),
                             each.at("found").get<std::string>(),
                             each.at("unmet").get<std::size_t>()});
  }
  return read;
}

failure bad_part(const std::string& path, const std::string& words) {
  return {exit_code::bad_input, error{"use-merge", words, {path, 0, 0}}};
}

vary_result part_from(const std::string& path) {
  const std::string text = read_or_fail(file_content(path));
  const json value = json::parse(text, nullptr, false);
  const std::string wanted = "; right is what penstock vary --json has written";
  if (value.is_discarded()) throw bad_part(path, "this is no JSON" + wanted);
  try {
    vary_result read = result_from(value);
    const bool some = !read.parts_played.empty() && *read.parts_played.begin() >= 1;
    if (!some || *read.parts_played.rbegin() > read.parts) throw bad_part(path, "its parts cannot be" + wanted);
    return read;
  } catch (const json::exception& wrong) {
    throw bad_part(path, fmt::format("this is no result of variations ({}){}", wrong.what(), wanted));
  }
}

std::string parts_in_words(const vary_result& result) {
  if (result.parts_played.size() == result.parts) return {};
  std::vector<std::string> numbers;
  for (const std::size_t each : result.parts_played) numbers.push_back(std::to_string(each));
  return fmt::format(", part {} of {}", listed(numbers), result.parts);
}

std::string in_words(const breaking_variation& one) {
  const std::string changes = one.changes.empty() ? "the lesson as it is" : listed(one.changes);
  judgement first;
  first.expected.words = one.first.words;
  first.expected.where = one.first.where;
  first.met = false;
  first.found = one.found;
  std::string words = paragraph(fmt::format("  {:>6}  ", one.number), changes);
  words += paragraph(padded("", 10), fmt::format("{} not met; the first: {}", counted(one.unmet, "expectation"),
                                                 unmet_words(first, one.at)));
  return words;
}

}  // namespace

void add_count(std::vector<breaking_count>& all, const breaking_count& one) {
  const auto same = std::ranges::find_if(
      all, [&](const breaking_count& each) { return key_of(each.expected) == key_of(one.expected); });
  if (same == all.end()) {
    all.push_back(one);
  } else {
    same->variations += one.variations;
  }
}

void vary_result::sort() {
  std::ranges::sort(expectations, [](const breaking_count& a, const breaking_count& b) {
    if (a.variations != b.variations) return a.variations > b.variations;
    return key_of(a.expected) < key_of(b.expected);
  });
  std::ranges::sort(breaking, [](const breaking_variation& a, const breaking_variation& b) {
    return std::pair{a.changes.size(), a.number} < std::pair{b.changes.size(), b.number};
  });
}

std::string in_words(const vary_result& result, emphasis type) {
  std::string words = type.strong(paragraph(
      "", fmt::format("{}: {} played of {}{}; something breaks in {}.", result.asked.at("lesson").get<std::string>(),
                      counted(result.played, "variation"), result.total, parts_in_words(result),
                      result.breaking.empty() ? "none" : std::to_string(result.breaking.size()))));
  if (result.asked.contains("jitter_ms")) {
    words += paragraph("", fmt::format("Times are moved by up to {} ms, {}, seed {}.",
                                       result.asked.at("jitter_ms").get<std::int64_t>(),
                                       counted(result.asked.at("runs").get<std::size_t>(), "run"),
                                       result.asked.at("seed").get<std::uint64_t>()));
  }
  if (result.breaking.empty()) return words;
  words += type.strong("\nExpectations that break, and in how many variations:") + "\n";
  for (const breaking_count& each : result.expectations) {
    const std::string place = place_of(each.expected.where);
    words += paragraph(fmt::format("  {:>6}  ", each.variations),
                       each.expected.words + (place.empty() ? "" : " (" + place + ")"));
  }
  words += type.strong("\nVariations that break something, by number, fewest changes first:") + "\n";
  for (const breaking_variation& each : result.breaking) words += in_words(each);
  return words;
}

std::string json_of(const vary_result& result) {
  std::string text = "{\"penstock\":\"" PENSTOCK_VERSION "\",\"training_only\":true,\n";
  text += "\"asked\":" + files::line_of(result.asked) + ",\n";
  // All parts of many are the same as the whole.
  const bool whole = result.parts_played.size() == result.parts;
  const json parts{{"of", whole ? 1 : result.parts},
                   {"played", whole ? std::set<std::size_t>{1} : result.parts_played}};
  text += fmt::format("\"total\":{},\"parts\":{},\"played\":{},\"breaking\":{},\n", result.total,
                      files::line_of(parts), result.played, result.breaking.size());
  const auto list = [&](std::string_view name, const auto& items, const auto& value) {
    text += fmt::format("\"{}\":[", name);
    bool first = true;
    for (const auto& each : items) {
      text += (first ? "\n" : ",\n") + files::line_of(value(each));
      first = false;
    }
    text += "]";
  };
  list("expectations", result.expectations, [](const breaking_count& each) {
    json value = value_of(each.expected);
    value["variations"] = each.variations;
    return value;
  });
  text += ",\n";
  list("variations", result.breaking, [](const breaking_variation& each) { return value_of(each); });
  return text + "}\n";
}

vary_result merged(const std::vector<std::string>& paths) {
  std::optional<vary_result> all;
  for (const std::string& path : paths) {
    vary_result part = part_from(path);
    if (!all) {
      all = std::move(part);
      continue;
    }
    if (part.asked != all->asked || part.total != all->total || part.parts != all->parts) {
      throw bad_part(path, "this is not a part of the same variations as the files before it; right are parts of one "
                           "lesson, played with the same options but --part");
    }
    for (const std::size_t each : part.parts_played) {
      if (!all->parts_played.insert(each).second) {
        throw bad_part(path, fmt::format("part {} is in a file before this one; give each part once", each));
      }
    }
    all->played += part.played;
    for (const breaking_count& each : part.expectations) add_count(all->expectations, each);
    all->breaking.insert(all->breaking.end(), part.breaking.begin(), part.breaking.end());
  }
  all->sort();
  return *std::move(all);
}

}  // namespace penstock::runner
