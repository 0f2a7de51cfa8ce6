// The trace as a page: summary, gaps, index by family, every rule, every table, every lesson.
#include "files/json_values.hpp"
#include "files/xml_text.hpp"
#include "penstock/modes.hpp"
#include "penstock/transition.hpp"
#include "penstock/version.hpp"
#include "runner/html_page.hpp"
#include "runner/page.hpp"
#include "penstock/explain.hpp"
#include "runner/trace_forms.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace penstock::runner {

namespace {

using files::xml_attribute;
using files::xml_text;

constexpr std::string_view trace_style = R"(
a { color: inherit; text-decoration-thickness: 0.1mm; text-underline-offset: 0.6mm; }
h3 { font-size: 11.5pt; margin-top: 6mm; }
h4 { font: bold 10.5pt sans-serif; margin: 5mm 0 1mm; break-after: avoid; }
.number { text-align: right; white-space: nowrap; }
.missing { font-weight: bold; }
.family { background: #eee; }
.gaps { border: 0.6mm solid #000; padding: 2mm 4mm; margin: 4mm 0; }
.counts { width: auto; }
.rule { border-left: 0.8mm solid #999; padding-left: 4mm; margin-bottom: 5mm; }
.rule .lead { margin-bottom: 0.5mm; }
.source, .small { font-size: 9pt; }
.small li { margin: 0.3mm 0; }
.small ul { padding-left: 5mm; }
.id, td.word, th { white-space: nowrap; }
code { font-size: 8.5pt; }
)";

std::string link(std::string_view to, std::string_view words) {
  return fmt::format("<a href=\"#{}\">{}</a>", xml_attribute(to), xml_text(words));
}

// A name that stays in one piece.
std::string name_link(std::string_view to, std::string_view name) {
  return fmt::format("<a class=\"id\" href=\"#{}\">{}</a>", xml_attribute(to), xml_text(name));
}

// A name of the code, which may be broken behind an underscore.
std::string code(std::string_view name) {
  std::string words;
  for (const char c : xml_text(name)) {
    words += c;
    if (c == '_') words += "<wbr/>";
  }
  return "<code>" + words + "</code>";
}

std::string anchor_of(const row_of_table& row) { return fmt::format("{}-row-{}", word(row.first), row.second); }
std::string anchor_of(const showing_lesson& lesson) { return "lesson-" + lesson.name; }

class trace_page {
 public:
  explicit trace_page(const trace_sources& from) : from_{from}, rules_{traced(from)}, gaps_{gaps_in(from)} {}

  std::string html() {
    summary();
    gaps();
    index();
    rules();
    tables();
    if (from_.tests) tests();
    lessons();
    return page_.finished();
  }

 private:
  static std::string title() { return "The rules: where they are built, tested and shown"; }

  [[nodiscard]] bool is_rule(std::string_view id) const {
    return std::ranges::any_of(from_.rules, [&](const rule& each) { return each.id == id; });
  }
  [[nodiscard]] std::string rule_link(std::string_view id) const { return is_rule(id) ? name_link(id, id) : xml_text(id); }
  template <class Ids>
  [[nodiscard]] std::string rule_links(const Ids& ids) const {
    std::vector<std::string> links;
    for (const auto& id : ids) links.push_back(rule_link(id));
    return listed(links, " ");
  }

  void begin_table(const std::vector<std::string>& heads, std::string_view of_class = {}) {
    page_.markup(of_class.empty() ? "<table>" : fmt::format("<table class=\"{}\">", of_class));
    page_.markup("\n<thead><tr>");
    for (const std::string& each : heads) page_.markup("<th>" + xml_text(each) + "</th>");
    page_.markup("</tr></thead>\n<tbody>\n");
  }
  void end_table() { page_.markup("</tbody>\n</table>\n"); }
  // A cell of markup.
  void cell(std::string_view inside, std::string_view of_class = {}) {
    page_.markup(of_class.empty() ? "<td>" : fmt::format("<td class=\"{}\">", of_class));
    page_.markup(inside);
    page_.markup("</td>");
  }
  // How many; what is missing is said in words.
  void count_cell(std::size_t count, bool needed) {
    if (count == 0 && needed) {
      cell("none", "number missing");
    } else {
      cell(std::to_string(count), "number");
    }
  }
  void begin_row(std::string_view anchor = {}) {
    page_.markup(anchor.empty() ? "<tr>" : fmt::format("<tr id=\"{}\">", xml_attribute(anchor)));
  }
  void end_row() { page_.markup("</tr>\n"); }

  void summary() {
    const trace_counts counts = counts_of(from_);
    page_.element("p",
                  fmt::format("Made by penstock {} of its catalogue of rules, its tables, its tests and the lessons that "
                              "come with it, which were played for this. For training only.",
                              PENSTOCK_VERSION));
    page_.element("h2", "Summary");
    page_.markup("<table class=\"counts\">\n<tbody>\n");
    const auto line = [&](std::string_view what, const std::string& number) {
      begin_row();
      cell(xml_text(what));
      cell(xml_text(number), "number");
      end_row();
    };
    const auto of = [](std::size_t part, std::size_t all) { return fmt::format("{} of {}", part, all); };
    line("Rules", std::to_string(counts.rules));
    line("Rules that are built somewhere", of(counts.built, counts.rules));
    if (from_.tests) line("Rules that a test quotes", of(counts.tested, counts.rules));
    line("Rules that a lesson shows", of(counts.shown, counts.rules));
    line("Rows of the tables", std::to_string(counts.rows));
    line("Rows that a lesson takes", of(counts.rows_taken, counts.rows));
    line("Places besides rows: rungs of lists, functions", std::to_string(counts.other_places));
    line("Tests that quote rules", from_.tests ? std::to_string(counts.tests) : "not known");
    line("Lessons", std::to_string(counts.lessons));
    line("Gaps", gaps_.empty() ? "none" : std::to_string(gaps_.size()));
    end_table();
    if (!from_.tests) {
      page_.element("p", "This penstock was built without its tests: which of them quote a rule is not known.");
    }
    page_.markup(fmt::format("<p>{}, {}, {}, {}{}, {}</p>\n", link("gaps", "Gaps"), link("index", "index by family"),
                             link("rules", "the rules"), link("tables", "the tables"),
                             from_.tests ? ", " + link("tests", "the tests by file") : "", link("lessons", "the lessons")));
  }

  void heading(std::string_view anchor, std::string_view words, bool on_new_page = false) {
    page_.markup(fmt::format("<h2 id=\"{}\"{}>{}</h2>\n", anchor, on_new_page ? " class=\"page\"" : "", xml_text(words)));
  }

  void gaps() {
    heading("gaps", "Gaps");
    if (gaps_.empty()) {
      page_.element("p", from_.tests ? "None. Every rule is built, a test quotes it and a lesson shows it; every row, other "
                                       "place, test and lesson has a rule of the catalogue."
                                     : "None among places and lessons.");
      return;
    }
    page_.markup("<div class=\"gaps\">\n");
    for (std::size_t k = 0; k < gap_kinds; ++k) {
      const auto kind = static_cast<gap::kind>(k);
      std::vector<std::string> items;
      for (const gap& each : gaps_) {
        if (each.what != kind) continue;
        if (kind == gap::kind::unknown_rule) {
          items.push_back(xml_text(each.rule + " of " + each.about));
        } else {
          items.push_back(kind == gap::kind::no_rule ? xml_text(each.about) : rule_link(each.rule));
        }
      }
      if (items.empty()) continue;
      page_.element("p", fmt::format("{} ({})", heading_of(kind), items.size()), "lead");
      page_.markup("<p>" + listed(items, kind < gap::kind::no_rule ? " " : "<br/>") + "</p>\n");
    }
    page_.markup("</div>\n");
  }

  static std::string family_heading(std::string_view family) {
    const std::string_view words = title_of_family(family);
    return words.empty() ? std::string{family} : fmt::format("{}: {}", family, words);
  }

  // Calls `begin` where a family begins.
  template <class Begin, class Each>
  void by_family(Begin begin, Each each) {
    std::string_view family;
    for (const traced_rule& one : rules_) {
      if (family_of(one.what->id) != family) {
        family = family_of(one.what->id);
        begin(family);
      }
      each(one);
    }
  }

  static std::size_t rows_among(const traced_rule& one) {
    return static_cast<std::size_t>(
        std::ranges::count_if(one.places, [](const built_place* each) { return each->row.has_value(); }));
  }

  void index() {
    heading("index", "Index by family");
    std::vector<std::string> heads{"Rule", "Rows", "Other places", "Tests", "Lessons", "For instance"};
    if (!from_.tests) heads.erase(heads.begin() + 3);
    begin_table(heads);
    by_family(
        [&](std::string_view family) {
          page_.markup(fmt::format("<tr class=\"family\"><th colspan=\"{}\">{}</th></tr>\n", heads.size(),
                                   link("family-" + std::string{family}, family_heading(family))));
        },
        [&](const traced_rule& one) {
          const std::size_t rows = rows_among(one);
          const bool is_built = !one.places.empty();
          begin_row();
          cell(rule_link(one.what->id), "word");
          count_cell(rows, !is_built);
          count_cell(one.places.size() - rows, !is_built);
          if (from_.tests) count_cell(one.tests.size(), true);
          count_cell(one.lessons.size(), true);
          cell(one.lessons.empty() ? "" : shown_words(one.lessons.front()));
          end_row();
        });
    end_table();
  }

  static std::string shown_words(const traced_lesson& shown) {
    return fmt::format("{} at {}", name_link(anchor_of(*shown.lesson), shown.lesson->name), clock_text(shown.at / 100 * 100));
  }

  void rules() {
    heading("rules", "The rules", true);
    by_family(
        [&](std::string_view family) {
          page_.markup(fmt::format("<h3 id=\"family-{}\">{}</h3>\n", xml_attribute(family), xml_text(family_heading(family))));
        },
        [&](const traced_rule& one) { tell(one); });
  }

  void tell(const traced_rule& one) {
    page_.markup(fmt::format("<div class=\"rule\" id=\"{}\">\n", xml_attribute(one.what->id)));
    page_.element("h4", one.what->id);
    page_.element("p", one.what->sentence);
    page_.element("p",
                  fmt::format("Source: {}.{}", one.what->source,
                              one.what->optional ? " Only on aircraft whose layout has it." : ""),
                  "source");
    built(one);
    if (from_.tests) quoted(one);
    shown(one);
    page_.markup("</div>\n");
  }

  void nothing(std::string_view lead, std::string_view words) {
    page_.element("p", lead, "lead");
    page_.element("p", words, "missing");
  }

  void built(const traced_rule& one) {
    if (one.places.empty()) return nothing("Built", "Nowhere.");
    page_.element("p", "Built", "lead");
    page_.markup("<div class=\"small\"><ul>\n");
    for (const built_place* each : one.places) {
      const std::string where = each->row ? link(anchor_of(*each->row), fmt::format("{}, {}", each->where, each->what))
                                          : xml_text(fmt::format("{}, {}", each->where, each->what));
      page_.markup(fmt::format("<li>{}: {}</li>\n", where, xml_text(each->sentence)));
    }
    page_.markup("</ul></div>\n");
  }

  void quoted(const traced_rule& one) {
    if (one.tests.empty()) return nothing("Tested", "By no test.");
    page_.element("p", fmt::format("Tested ({})", one.tests.size()), "lead");
    page_.markup("<div class=\"small\"><ul>\n");
    // The table of tests is sorted by file.
    std::string_view file;
    std::vector<std::string> here;
    const auto tell_file = [&] {
      if (here.empty()) return;
      page_.markup(fmt::format("<li>{}: {}</li>\n", code(file), listed(here)));
      here.clear();
    };
    for (const rule_test* each : one.tests) {
      if (each->file != file) tell_file();
      file = each->file;
      here.push_back(xml_text(fmt::format("{}.{} ({})", each->suite, each->name, each->line)));
    }
    tell_file();
    page_.markup("</ul></div>\n");
  }

  void shown(const traced_rule& one) {
    if (one.lessons.empty()) return nothing("Shown", "By no lesson.");
    page_.element("p", fmt::format("Shown ({})", one.lessons.size()), "lead");
    std::vector<std::string> words;
    for (const traced_lesson& each : one.lessons) words.push_back(shown_words(each));
    page_.markup("<p class=\"small\">" + listed(words) + "</p>\n");
  }

  void tables() {
    heading("tables", "The tables", true);
    page_.element("p", "Every row of every machine, in the order in which rows are tried; the last column says how many of the "
                       "lessons take it.");
    bool open = false;
    std::optional<machine> which;
    for (const built_place& each : from_.places) {
      if (!each.row) continue;
      if (which != each.row->first) {
        if (open) end_table();
        open = true;
        which = each.row->first;
        page_.element("h3", each.where);
        begin_table({"Row", "From", "Event", "If", "To", "What it says", "Rules", "Lessons"});
      }
      tell(*each.row, each);
    }
    if (open) end_table();
  }

  void tell(const row_of_table& which, const built_place& place) {
    const table_row& row = rows_of(which.first)[which.second];
    begin_row(anchor_of(which));
    cell(std::to_string(which.second), "number");
    cell(xml_text(mode_word(which.first, row.source)), "word");
    cell(xml_text(event_word(which.first, row.event)), "word");
    cell(row.guard == "always" ? "" : code(row.guard));
    cell(row.refuses ? "refused" : xml_text(mode_word(which.first, row.target)), "word");
    cell(xml_text(place.sentence));
    const std::vector<std::string> ids = files::ids_in(place.rules);
    if (ids.empty()) {
      cell("none", "missing");
    } else {
      cell(rule_links(ids));
    }
    cell(std::to_string(lessons_that_take(from_, which).size()), "number");
    end_row();
  }

  void tests() {
    heading("tests", "The tests by file", true);
    struct file_of_tests {
      std::size_t tests = 0;
      std::vector<std::string> rules;
    };
    std::map<std::string_view, file_of_tests> by_file;
    for (const rule_test& each : *from_.tests) {
      file_of_tests& one = by_file[each.file];
      ++one.tests;
      for (std::string& id : files::ids_in(each.rules)) one.rules.push_back(std::move(id));
    }
    begin_table({"File", "Tests", "Rules that they quote"});
    for (auto& [file, one] : by_file) {
      begin_row();
      cell(code(file), "word");
      cell(std::to_string(one.tests), "number");
      cell(rule_links(in_order(one.rules)));
      end_row();
    }
    end_table();
  }

  // Each once, as the catalogue has them; those it does not know at the end.
  [[nodiscard]] std::vector<std::string> in_order(const std::vector<std::string>& ids) const {
    std::vector<std::string> all;
    for (const rule& each : from_.rules) {
      if (std::ranges::find(ids, each.id) != ids.end()) all.emplace_back(each.id);
    }
    for (const std::string& id : ids) {
      if (!is_rule(id) && std::ranges::find(all, id) == all.end()) all.push_back(id);
    }
    return all;
  }

  void lessons() {
    heading("lessons", "The lessons", true);
    begin_table({"Lesson", "Its title", "Rules", "Rules that it shows"});
    for (const showing_lesson& each : from_.lessons) {
      std::vector<std::string> ids;
      for (const auto& [id, at] : each.rules) ids.push_back(id);
      begin_row(anchor_of(each));
      cell("<span class=\"id\">" + xml_text(each.name) + "</span>" + (each.passed ? "" : "<br/><span class=\"missing\">did not go as it expects</span>"));
      cell(xml_text(each.title));
      count_cell(ids.size(), true);
      cell(rule_links(in_order(ids)));
      end_row();
    }
    end_table();
  }

  const trace_sources& from_;
  std::vector<traced_rule> rules_;
  std::vector<gap> gaps_;
  html_page page_{title(), trace_style};
};

}  // namespace

std::string trace_as_page(const trace_sources& from) { return trace_page{from}.html(); }

}  // namespace penstock::runner
