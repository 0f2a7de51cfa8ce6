// A reader of comma-separated values as RFC 4180 has them.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

namespace penstock_tests {

/// Records of fields. What breaks the grammar is told in `problem`.
struct csv_reading {
  explicit csv_reading(std::string_view text) {
    std::vector<std::string> record;
    while (!text.empty() && problem.empty()) {
      record.push_back(field(text));
      if (text.starts_with(",")) {
        text.remove_prefix(1);
        if (text.starts_with("\r\n") || text.empty()) record.emplace_back();
      }
      if (text.starts_with("\r\n")) {
        text.remove_prefix(2);
        if (!records.empty() && record.size() != records.front().size()) problem = "records of different length";
        records.push_back(std::move(record));
        record.clear();
      }
    }
    if (!record.empty()) problem = "the last record has no end";
  }

  /// The number of a column, by its heading.
  [[nodiscard]] std::size_t column(std::string_view heading) const {
    for (std::size_t i = 0; i < records.front().size(); ++i) {
      if (records.front()[i] == heading) return i;
    }
    return records.front().size();
  }

  std::vector<std::vector<std::string>> records;
  std::string problem;

 private:
  std::string field(std::string_view& text) {
    std::string value;
    if (!text.starts_with("\"")) {
      const std::size_t end = std::min(text.find_first_of(",\r\n\""), text.size());
      value = text.substr(0, end);
      text.remove_prefix(end);
      if (!text.empty() && text[0] != ',' && !text.starts_with("\r\n")) problem = "a bare quote or line end";
      return value;
    }
    for (text.remove_prefix(1); !text.empty(); text.remove_prefix(1)) {
      if (text.starts_with("\"\"")) {
        text.remove_prefix(1);
      } else if (text[0] == '"') {
        text.remove_prefix(1);
        return value;
      }
      value += text[0];
    }
    problem = "an open quote";
    return value;
  }
};

}  // namespace penstock_tests
