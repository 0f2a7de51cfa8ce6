// penstock explore: every reachable state of the logic, and what must hold in all of them.
#include "penstock/explore.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/version.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/names.hpp"
#include "runner/page.hpp"
#include "runner/progress_line.hpp"
#include "runner/threads_option.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>
#include <spdlog/spdlog.h>

#include <algorithm>
#include <bit>
#include <chrono>
#include <filesystem>
#include <map>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;
using clock = std::chrono::steady_clock;

constexpr std::size_t name_width = 26;

struct searched_part {
  search_part part;
  search_result found;
  double seconds = 0.0;
};

/// A row that no part came to.
struct row_not_reached {
  machine which;
  std::size_t number;
  const table_row* row;
};

std::uint64_t bytes_wanted(const std::string& text) {
  std::uint64_t number = 0;
  std::size_t at = 0;
  for (; at < text.size() && text[at] >= '0' && text[at] <= '9' && number < 1'000'000'000; ++at) {
    number = number * 10 + static_cast<std::uint64_t>(text[at] - '0');
  }
  const std::string unit = text.substr(at);
  if (at == 0 || number == 0 || (unit != "MB" && unit != "GB")) {
    throw wrong_use("--memory", fmt::format("found '{}'; right is a whole number with MB or GB, such as 500MB", text),
                    "use-memory");
  }
  return number * (unit == "MB" ? 1'000'000 : 1'000'000'000);
}

search_world world_named(const std::string& name) {
  if (name == "any") return search_world::any;
  if (name == "plausible") return search_world::plausible;
  throw wrong_use("--plant",
                  fmt::format("found '{}'; right is any or plausible{}", name, perhaps(name, {"any", "plausible"})),
                  "use-plant");
}

/// One part by its name, or several joined by "+".
search_part joined_part(const layout& of, const std::vector<search_part>& all, const std::vector<std::string>& known,
                        const std::string& names) {
  search_part joined;
  for (std::size_t begin = 0; begin <= names.size();) {
    const std::size_t end = std::min(names.find('+', begin), names.size());
    const std::string name = names.substr(begin, end - begin);
    const auto found = std::ranges::find(all, name, &search_part::name);
    if (found == all.end()) {
      throw wrong_use("--part", fmt::format("'{}' is no part of {}{}; penstock explore {} --list names them", name,
                                            of.spec().name, perhaps(name, known), of.spec().name),
                      "use-name");
    }
    joined.argument += (begin == 0 ? "" : " ") + found->argument;
    for (const happening& each : found->open) {
      if (std::ranges::find(joined.open, each) == joined.open.end()) joined.open.push_back(each);
    }
    begin = end + 1;
  }
  joined.name = names;
  return joined;
}

std::vector<search_part> parts_wanted(const layout& of, const std::vector<std::string>& names) {
  std::vector<search_part> all = parts_of(of);
  if (names.empty()) return all;
  std::vector<std::string> known;
  for (const search_part& each : all) known.push_back(each.name);
  std::vector<search_part> wanted;
  for (const std::string& name : names) {
    wanted.push_back(joined_part(of, all, known, name));
  }
  return wanted;
}

std::vector<search_property> properties_wanted(const layout& of, const std::vector<std::string>& files) {
  std::vector<search_property> all = required_properties();
  for (const std::string& path : files) {
    const std::string text = read_or_fail(file_content(path));
    for (search_property& each : read_or_fail(properties_from_yaml(of, text, path))) {
      if (std::ranges::find(all, each.name, &search_property::name) != all.end()) {
        throw failure{exit_code::bad_input,
                      error{"property-name", fmt::format("there is a property '{}' already", each.name), {path, 0, 0}}};
      }
      all.push_back(std::move(each));
    }
  }
  return all;
}

search_options options_of(const explore_options& wanted) {
  search_options options;
  options.world = world_named(wanted.plant);
  options.threads = static_cast<unsigned>(threads_for(wanted.threads));
  options.most_bytes = bytes_wanted(wanted.memory);
  if (!wanted.states) return options;
  if (*wanted.states < 1) throw wrong_use("--states", fmt::format("found {}; right is 1 or more", *wanted.states), "use-states");
  options.most_states = static_cast<std::uint64_t>(*wanted.states);
  return options;
}

std::string state_count(std::uint64_t many) {
  std::string digits = std::to_string(many);
  for (std::size_t at = digits.size(); at > 3; at -= 3) digits.insert(at - 3, ",");
  return digits;
}

std::string_view end_in_words(search_end end) {
  switch (end) {
    case search_end::complete: return "complete";
    case search_end::most_states: return "stopped: limit of states";
    case search_end::most_bytes: return "stopped: limit of memory";
    case search_end::stopped: return "stopped";
  }
  return "?";
}

std::vector<searched_part> search_all(const layout& of, std::vector<search_part> parts, search_options options) {
  std::vector<searched_part> all;
  progress_line progress{"searching parts", parts.size()};
  for (search_part& part : parts) {
    const auto begun = clock::now();
    options.progress = [&](const search_progress& so_far) {
      const std::chrono::duration<double> took = clock::now() - begun;
      progress.tell(fmt::format("{}: {} states, {:.0f} a second, {} MB", part.name, state_count(so_far.states),
                                static_cast<double>(so_far.states) / std::max(0.001, took.count()),
                                so_far.bytes / 1'000'000));
      return true;
    };
    search_result found = search(of, part, options);
    const std::chrono::duration<double> took = clock::now() - begun;
    spdlog::info("{}: {} states in {:.2f} s", part.name, found.states, took.count());
    progress.one_done();
    all.push_back({std::move(part), std::move(found), took.count()});
  }
  return all;
}

/// The rows that some part of some aircraft came to.
class rows_reached {
 public:
  void add(const layout& of, const std::vector<searched_part>& parts) {
    for (std::size_t m = 0; m < machine_count; ++m) {
      const auto which = static_cast<machine>(m);
      for (std::uint8_t i = 0; i < detail::machine_places::many[m]; ++i) there_[m] = there_[m] || has_machine(of, which, i);
      for (const searched_part& part : parts) {
        for (std::size_t r = 0; r < taken_[m].size(); ++r) taken_[m][r] = taken_[m][r] || part.found.rows[m][r];
      }
    }
  }

  /// Those of machines that an aircraft has. A refusal takes no row.
  [[nodiscard]] std::vector<row_not_reached> missing() const {
    std::vector<row_not_reached> all;
    for (std::size_t m = 0; m < machine_count; ++m) {
      const auto rows = rows_of(static_cast<machine>(m));
      for (std::size_t r = 0; there_[m] && r < rows.size(); ++r) {
        if (!rows[r].refuses && !taken_[m][r]) all.push_back({static_cast<machine>(m), r, &rows[r]});
      }
    }
    return all;
  }

 private:
  std::array<bool, machine_count> there_{};
  decltype(search_result::rows) taken_{};
};

bool is_complete(const std::vector<searched_part>& parts) {
  return std::ranges::all_of(parts, [](const searched_part& each) { return each.found.end == search_end::complete; });
}
bool is_broken(const std::vector<searched_part>& parts) {
  return std::ranges::any_of(parts, [](const searched_part& each) { return !each.found.violations.empty(); });
}

/// Properties that no part judges: for each, what the best part did not come to.
std::vector<std::string> not_judged(const std::vector<searched_part>& parts, const std::vector<search_property>& properties) {
  std::vector<std::string> all;
  for (std::size_t v = 0; v < properties.size(); ++v) {
    const search_property& property = properties[v];
    if (property.needs.empty()) continue;
    const std::uint64_t wanted = property.needs.size() == 64 ? ~std::uint64_t{0} : (std::uint64_t{1} << property.needs.size()) - 1;
    std::uint64_t best = 0;
    bool broken = false;
    for (const searched_part& part : parts) {
      const std::uint64_t met = part.found.needs_met[v] & wanted;
      if (std::popcount(met) > std::popcount(best)) best = met;
      broken = broken || std::ranges::any_of(part.found.violations, [&](const auto& each) { return each.property == property.name; });
    }
    if (best == wanted || broken) continue;
    std::vector<std::string> missing;
    for (std::size_t n = 0; n < property.needs.size(); ++n) {
      if (((best >> n) & 1U) == 0) missing.push_back(property.needs_in_words[n]);
    }
    all.push_back(fmt::format("{}: no part comes to all that it joins; the nearest never came to: {}. This proves nothing; "
                              "join parts, such as --part A+B", property.name, listed(missing, "; ")));
  }
  return all;
}

std::string path_in_words(const layout& of, const search_path& path) {
  std::string words;
  for (const happening& each : path) words += "      " + words_of(of, each) + "\n";
  return words.empty() ? "      (cold and dark)\n" : words;
}

// ---- what was found, as text ----

std::string parts_in_words(const std::vector<searched_part>& parts) {
  std::string words;
  for (const searched_part& each : parts) {
    words += fmt::format("  {}{:>12} states {:>13} events {:>4} deep {:>7.2f} s  {}\n", padded(each.part.name, name_width),
                         state_count(each.found.states), state_count(each.found.transitions), each.found.depth,
                         each.seconds, end_in_words(each.found.end));
  }
  return words;
}

/// A broken property with its shortest story, and every part that shows it.
struct broken_property {
  const search_violation* shortest;
  std::vector<std::string> parts;
};

std::vector<broken_property> broken_in(const std::vector<searched_part>& parts) {
  std::vector<broken_property> all;
  for (const searched_part& each : parts) {
    for (const search_violation& one : each.found.violations) {
      const auto known = std::ranges::find_if(all, [&](const auto& other) { return other.shortest->property == one.property; });
      if (known == all.end()) {
        all.push_back({&one, {each.part.name}});
        continue;
      }
      if (one.path.size() < known->shortest->path.size()) {
        known->shortest = &one;
        known->parts.insert(known->parts.begin(), each.part.name);
      } else {
        known->parts.push_back(each.part.name);
      }
    }
  }
  return all;
}

std::string violations_in_words(const layout& of, const std::vector<searched_part>& parts, emphasis type) {
  std::string words;
  for (const broken_property& each : broken_in(parts)) {
    words += type.strong("BROKEN: " + each.shortest->property) + " in " + each.parts.front() + "\n";
    words += paragraph("    ", each.shortest->sentence) + paragraph("    found: ", each.shortest->found) +
             "    after cold and dark:\n" + path_in_words(of, each.shortest->path);
    if (each.parts.size() > 1) words += paragraph("    also broken in: ", listed({each.parts.begin() + 1, each.parts.end()}));
  }
  return words;
}

std::string orders_in_words(const layout& of, const std::vector<searched_part>& parts) {
  std::map<std::string_view, std::pair<std::uint64_t, const order_difference*>> by_reason;
  std::map<std::string_view, std::vector<std::string>> pairs;
  std::uint64_t compared = 0;
  for (const searched_part& each : parts) {
    compared += each.found.pairs;
    for (const order_difference& one : each.found.order_differences) {
      auto& [count, first] = by_reason[one.reason];
      count += one.states;
      if (first == nullptr || one.path.size() < first->path.size()) first = &one;
      std::string pair = fmt::format("{} and {}", form_of(one.one).word, form_of(one.other).word);
      auto& listed_pairs = pairs[one.reason];
      if (std::ranges::find(listed_pairs, pair) == listed_pairs.end()) listed_pairs.push_back(std::move(pair));
    }
  }
  std::string words = fmt::format("Orders: {} pairs of events on different components compared.\n", state_count(compared));
  for (const auto& [reason, found] : by_reason) {
    const auto& [count, first] = found;
    words += paragraph("  ", fmt::format("{}: {} times", reason.empty() ? "WITHOUT A REASON" : reason, state_count(count)));
    words += paragraph("      pairs: ", listed(pairs[reason]));
    words += paragraph("      such as: ", words_of(of, first->example_one) + " | " + words_of(of, first->example_other));
  }
  return words;
}

std::string aircraft_in_words(const layout& of, const std::vector<searched_part>& parts, double seconds,
                              const search_options& options, const std::vector<std::string>& open, emphasis type) {
  std::uint64_t states = 0;
  unsigned passes = 0;
  for (const searched_part& each : parts) {
    states += each.found.states;
    passes = std::max<unsigned>(passes, each.found.most_passes);
  }
  const auto a_second = static_cast<std::uint64_t>(static_cast<double>(states) / std::max(0.001, seconds));
  std::string words = type.strong(of.spec().title) + "\n" + parts_in_words(parts);
  words += fmt::format("{} states in {}, {:.1f} s, {} states a second on {}\n", state_count(states),
                       counted(parts.size(), "part"), seconds, state_count(a_second), counted(options.threads, "thread"));
  words += violations_in_words(of, parts, type);
  for (const std::string& each : open) words += type.strong("NOT JUDGED: ") + paragraph("NOT JUDGED: ", each).substr(12);
  const auto stopped = std::ranges::count_if(parts, [](const auto& each) { return each.found.end != search_end::complete; });
  if (stopped > 0) {
    words += paragraph("", fmt::format("Not complete: {} of {} came to a limit. Nothing is proven of them{}.", stopped,
                                       counted(parts.size(), "part"),
                                       is_broken(parts) ? "" : "; in what was searched nothing was broken"));
  }
  if (!is_broken(parts) && is_complete(parts)) {
    words += paragraph("", fmt::format("Holds in every state of these parts{}: {} properties, the way back to cold and dark, "
                                       "settling in {}, and the order of events but for listed exceptions.",
                                       options.world == search_world::plausible ? ", with the plausible plant" : "",
                                       options.properties.size() - open.size(), passes == 1 ? "1 pass" : fmt::format("{} passes", passes)));
  }
  return words;
}

std::string rows_in_words(const std::vector<row_not_reached>& rows, bool all_shipped, emphasis type) {
  std::string words;
  for (const row_not_reached& each : rows) {
    const std::string lead = all_shipped ? "DEAD: " : "not reached here: ";
    words += type.strong(lead) +
             paragraph(lead, fmt::format("{} [{}] {}", word(each.which), each.row->rules, each.row->sentence)).substr(lead.size());
  }
  return words;
}

// ---- as JSON ----

json path_as_json(const layout& of, const search_path& path) {
  json all = json::array();
  for (const happening& each : path) all.push_back(words_of(of, each));
  return all;
}

json as_json(const layout& of, const std::vector<searched_part>& parts) {
  json out{{"name", of.spec().name}, {"parts", json::array()}};
  for (const searched_part& each : parts) {
    json one{{"name", each.part.name},
             {"argument", each.part.argument},
             {"end", end_in_words(each.found.end)},
             {"states", each.found.states},
             {"events", each.found.transitions},
             {"depth", each.found.depth},
             {"bytes", each.found.bytes},
             {"most-passes", each.found.most_passes},
             {"most-rows", each.found.most_rows},
             {"pairs", each.found.pairs},
             {"violations", json::array()},
             {"orders", json::array()}};
    for (const search_violation& violation : each.found.violations) {
      one["violations"].push_back({{"property", violation.property},
                                   {"sentence", violation.sentence},
                                   {"found", violation.found},
                                   {"path", path_as_json(of, violation.path)}});
    }
    for (const order_difference& order : each.found.order_differences) {
      one["orders"].push_back({{"one", form_of(order.one).word},
                               {"one-about", word(order.one_about)},
                               {"other", form_of(order.other).word},
                               {"other-about", word(order.other_about)},
                               {"reason", order.reason},
                               {"times", order.states},
                               {"path", path_as_json(of, order.path)},
                               {"example-one", words_of(of, order.example_one)},
                               {"example-other", words_of(of, order.example_other)}});
    }
    out["parts"].push_back(std::move(one));
  }
  return out;
}

json as_json(const std::vector<row_not_reached>& rows) {
  json all = json::array();
  for (const row_not_reached& each : rows) {
    all.push_back({{"machine", word(each.which)},
                   {"row", each.number},
                   {"rules", each.row->rules},
                   {"sentence", each.row->sentence}});
  }
  return all;
}

// ---- lessons ----

/// One lesson for each property that is broken, with its shortest story; and whether it replays.
std::string write_lessons(const layout& of, const std::string& aircraft, const std::vector<searched_part>& parts,
                          const std::vector<search_property>& properties, const std::string& folder) {
  std::string words;
  std::error_code problem;
  std::filesystem::create_directories(folder, problem);
  for (const broken_property& each : broken_in(parts)) {
    std::string named = aircraft;
    if (std::ranges::find(shipped_layouts(), aircraft, &shipped_file::name) == shipped_layouts().end()) {
      named = std::filesystem::proximate(aircraft, folder, problem).string();  // a path is relative to its lesson
      if (problem) named = aircraft;
    }
    const path_lesson made = lesson_of(of, named, *each.shortest, properties);
    const std::string path = (std::filesystem::path{folder} / (of.spec().name + "-" + each.shortest->property + ".yaml")).string();
    write_file(path, lesson_to_yaml(made.told));
    words += path + (made.replays ? "\n" : ": with the times of this layout it ends elsewhere; any plant may do it\n");
  }
  return words;
}

std::string listed_parts(const layout& of) {
  std::string words;
  for (const search_part& each : parts_of(of)) {
    words += each.name + "\n" + paragraph("    ", each.argument) +
             fmt::format("    {} events and timers\n", each.open.size());
  }
  return words;
}

}  // namespace

exit_code explore_layout(const explore_options& wanted, output& out) {
  // Rows that need an implausible plant are not dead: property 10 is judged with any plant.
  const bool all_shipped = wanted.layouts.empty();
  const bool judge_rows = all_shipped && wanted.plant == "any";
  std::vector<std::string> names = wanted.layouts;
  if (all_shipped) {
    for (const shipped_file& each : shipped_layouts()) names.emplace_back(each.name);
  }
  std::vector<layout> layouts;
  for (const std::string& name : names) layouts.push_back(read_or_fail(load_layout(name)));
  if (wanted.list) {
    for (const layout& of : layouts) out.write(of.spec().name + "\n" + listed_parts(of));
    out.flush();
    return exit_code::done;
  }
  const search_options common = options_of(wanted);
  const emphasis type = emphasis_for(out, wanted.plain);
  rows_reached reached;
  json documents = json::array();
  bool complete = true;
  bool broken = false;
  for (std::size_t i = 0; i < layouts.size(); ++i) {
    const layout& of = layouts[i];
    search_options options = common;
    options.properties = properties_wanted(of, wanted.properties);
    const auto begun = clock::now();
    const std::vector<searched_part> parts = search_all(of, parts_wanted(of, wanted.parts), options);
    const std::chrono::duration<double> took = clock::now() - begun;
    const std::vector<std::string> open = not_judged(parts, options.properties);
    complete = complete && is_complete(parts) && open.empty();
    broken = broken || is_broken(parts);
    reached.add(of, parts);
    if (wanted.json) {
      documents.push_back(as_json(of, parts));
      documents.back()["not-judged"] = open;
    } else {
      out.write(aircraft_in_words(of, parts, took.count(), options, open, type));
      if (wanted.orders) out.write(orders_in_words(of, parts));
    }
    if (wanted.write) {
      const std::string written = write_lessons(of, names[i], parts, options.properties, *wanted.write);
      if (!wanted.json) out.write(written);
    }
    out.flush();
  }
  std::vector<row_not_reached> rows;
  if (wanted.parts.empty() && complete) rows = reached.missing();
  if (wanted.json) {
    out.write(json{{"penstock", PENSTOCK_VERSION}, {"plant", wanted.plant}, {"aircraft", std::move(documents)}, {"rows-not-reached", as_json(rows)}}.dump(2) + "\n");
  } else {
    out.write(rows_in_words(rows, judge_rows, type));
    if (wanted.parts.empty() && complete && rows.empty()) out.write("Every row of every table is taken on some path.\n");
  }
  out.flush();
  if (broken || (judge_rows && !rows.empty())) return exit_code::expectation_unmet;
  return complete ? exit_code::done : exit_code::not_complete;
}

}  // namespace penstock::runner
