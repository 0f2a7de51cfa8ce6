// penstock feed: one event a line in, one answer a line out.
#include "files/json_values.hpp"
#include "penstock/event_text.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/observation_json.hpp"
#include "penstock/simulation.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/names.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include <cstdint>
#include <optional>
#include <string>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;

/// The member "at" of a line, and the line without it.
struct timed_line {
  std::optional<std::int64_t> at;
  std::string rest;       ///< as long as the line, so that columns stay right
};

// The member is replaced by blanks: the reader of events then finds the rest where the person wrote it.
// `line` is known to be a JSON object.
std::string without_at(std::string line) {
  constexpr std::string_view key = "\"at\"";
  int depth = 0;
  bool key_may_come = false;
  std::size_t comma_before = std::string::npos;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (c == '"') {
      const bool found = depth == 1 && key_may_come && std::string_view{line}.substr(i, key.size()) == key;
      if (found) {
        // The value is a plain number, so the next comma or brace ends the member.
        std::size_t end = line.find_first_of(",}", i);
        std::size_t begin = i;
        if (line[end] == ',') {
          ++end;
        } else if (comma_before != std::string::npos) {
          begin = comma_before;
        }
        return line.replace(begin, end - begin, end - begin, ' ');
      }
      key_may_come = false;
      for (++i; i < line.size() && line[i] != '"'; ++i) {
        if (line[i] == '\\') ++i;
      }
    } else if (c == '{' || c == '[') {
      ++depth;
      key_may_come = c == '{';
    } else if (c == '}' || c == ']') {
      --depth;
    } else if (c == ',') {
      key_may_come = true;
      if (depth == 1) comma_before = i;
    }
  }
  return line;
}

result<timed_line> timed(std::string line) {
  const json parsed = json::parse(line, nullptr, false);
  // Whatever is no object is left to the reader of events, which says what is wrong and where.
  if (parsed.is_discarded() || !parsed.is_object() || !parsed.contains("at")) return timed_line{{}, std::move(line)};
  const json& at = parsed["at"];
  constexpr std::int64_t longest = limits::longest_time.count();
  // A number that fits 64 bits only without a sign would become negative, and is refused as such.
  if (!at.is_number_integer() || at.get<std::int64_t>() < 0 || at.get<std::int64_t>() > longest) {
    const auto column = static_cast<std::uint32_t>(line.find("\"at\"") + 1);
    return error{"feed-at",
                 fmt::format("\"at\" is {}; right is a whole number of milliseconds since the beginning, from 0 to {}",
                             files::line_of(at), longest),
                 {{}, 1, column}};
  }
  return timed_line{at.get<std::int64_t>(), without_at(std::move(line))};
}

bool is_blank(std::string_view line) { return line.find_first_not_of(" \t\r") == std::string_view::npos; }

std::string answer_for(std::size_t number, const error& problem) {
  json what{{"id", problem.id}, {"message", problem.message}};
  what["column"] = problem.where.column == 0 ? json(nullptr) : json(problem.where.column);
  return files::line_of(json{{"line", number}, {"error", std::move(what)}});
}

class feeding {
 public:
  feeding(const layout& of, plant_kind plant) : layout_{of}, simulation_{of, plant} {
    simulation_.watch([this](const simulation::frame& frame) {
      for (const row_taken& each : frame.what.taken()) rows_.push_back(files::value_of(layout_, each));
    });
  }

  /// The answer to one line, or what is wrong with it; then nothing has changed.
  result<std::string> answer(std::size_t number, std::string line) {
    const result<timed_line> read = timed(std::move(line));
    if (!read) return read.problem();
    const timed_line& what = *read;
    const result<event> happening = event_from_json(layout_, what.rest, {{}, 1, 1});
    if (!happening) return happening.problem();

    rows_ = json::array();
    const std::uint32_t now = simulation_.now().chronicle.now;
    if (what.at) {
      if (*what.at < now) {
        return error{"feed-time",
                     fmt::format("\"at\" is {}, but it is {} already; time does not run backwards", *what.at, now),
                     {}};
      }
      simulation_.advance(milliseconds{*what.at - now});
    }
    const effects did = simulation_.apply(*happening);
    json head{{"line", number}, {"accepted", did.accepted()}, {"refused", files::value_of(did.refused)}};
    head["rows"] = std::move(rows_);
    std::string words = files::line_of(head);
    words.pop_back();
    return words + ",\"observation\":" + json_of(layout_, observe(layout_, simulation_.now())) + "}";
  }

 private:
  const layout& layout_;
  simulation simulation_;
  json rows_ = json::array();
};

}  // namespace

exit_code feed_events(const feed_options& wanted, output& out) {
  const std::optional<plant_kind> plant = from_word<plant_kind>(wanted.plant);
  if (!plant) {
    throw wrong_use("--plant",
                    fmt::format("found '{}'; right is none, quasi-static or fluid{}", wanted.plant,
                                perhaps(wanted.plant, {"none", "quasi-static", "fluid"})),
                    "use-plant");
  }
  const layout of = read_or_fail(load_layout(wanted.layout));
  spdlog::info("feeding {} with plant {}", of.spec().name, wanted.plant);

  feeding fed{of, *plant};
  line_reader in{STDIN_FILENO};
  bool any_bad = false;
  std::string line;
  for (std::size_t number = 1;; ++number) {
    const auto found = in.next(line);
    if (found == line_reader::found::end) break;
    if (found == line_reader::found::line && is_blank(line)) continue;
    const result<std::string> answered =
        found == line_reader::found::too_long
            ? error{"feed-line-too-long",
                    fmt::format("the line is longer than {} bytes; an event needs far less", line_reader::longest_line),
                    {}}
            : fed.answer(number, std::move(line));
    if (!answered) {
      any_bad = true;
      spdlog::info("line {}: {}", number, to_string(answered.problem()));
    }
    out.write((answered ? *answered : answer_for(number, answered.problem())) + "\n");
    out.flush();
  }
  return any_bad ? exit_code::bad_input : exit_code::done;
}

}  // namespace penstock::runner
