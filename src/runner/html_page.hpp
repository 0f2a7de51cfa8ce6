// A page of HTML to print: one file that runs nothing and loads nothing; well-formed XML as well.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace penstock::runner {

class html_page {
 public:
  /// Begins with the title as a heading. `more_style`: rules of CSS beside those that all pages have.
  explicit html_page(std::string_view title, std::string_view more_style = {});

  /// Well-formed markup, as it is.
  void markup(std::string_view raw) { html_ += raw; }
  void element(std::string_view name, std::string_view text, std::string_view of_class = {});
  /// Nothing for an empty list.
  void list(std::string_view lead, const std::vector<std::string>& items);

  /// The whole page. Nothing may be added afterwards.
  [[nodiscard]] std::string finished();

 private:
  std::string html_;
};

}  // namespace penstock::runner
