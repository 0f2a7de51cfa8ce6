#include "runner/html_page.hpp"

#include "files/xml_text.hpp"

#include <fmt/core.h>

#include <utility>

namespace penstock::runner {

namespace {

using files::xml_text;

// Black on white, so that any printer will do.
constexpr std::string_view print_style = R"(
@page { size: A4; margin: 16mm 15mm; }
body { font: 10.5pt/1.4 serif; color: #000; background: #fff; max-width: 180mm; margin: 0 auto; padding: 4mm; }
h1, h2, h3, th, .lead { font-family: sans-serif; }
h1 { font-size: 18pt; margin: 0 0 2mm; }
h2 { font-size: 13pt; margin: 8mm 0 2mm; border-bottom: 0.4mm solid #000; break-after: avoid; }
h3 { font-size: 10.5pt; margin: 4mm 0 1mm; break-after: avoid; }
p, ul { margin: 1mm 0; }
.lead { font-weight: bold; font-size: 9pt; margin-top: 2mm; break-after: avoid; }
li { break-inside: avoid; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; font-size: 9.5pt; }
th, td { border: 0.2mm solid #666; padding: 1mm 2mm; text-align: left; vertical-align: top; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
.page { break-before: page; }
@media print { body { padding: 0; max-width: none; } }
)";

}  // namespace

html_page::html_page(std::string_view title, std::string_view more_style) {
  html_ = "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n";
  // Whatever a lesson says: nothing is run and nothing is loaded.
  html_ += "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\"/>\n";
  html_ += fmt::format("<title>{}</title>\n<style>{}{}</style>\n</head>\n<body>\n", xml_text(title), print_style,
                       more_style);
  element("h1", title);
}

void html_page::element(std::string_view name, std::string_view text, std::string_view of_class) {
  html_ += fmt::format("<{}{}>{}</{}>\n", name, of_class.empty() ? "" : fmt::format(" class=\"{}\"", of_class),
                       xml_text(text), name);
}

void html_page::list(std::string_view lead, const std::vector<std::string>& items) {
  if (items.empty()) return;
  element("p", lead, "lead");
  html_ += "<ul>\n";
  for (const std::string& each : items) element("li", each);
  html_ += "</ul>\n";
}

std::string html_page::finished() { return std::move(html_) + "</body>\n</html>\n"; }

}  // namespace penstock::runner
