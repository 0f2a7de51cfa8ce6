// HTML to PDF by the browser Chromium, where it is installed.
#pragma once

#include <string>
#include <string_view>

namespace penstock::runner {

/// The bytes of a PDF file. Throws `failure` (input_output) when Chromium is not there, fails, or takes too long.
[[nodiscard]] std::string pdf_of(std::string_view html);

}  // namespace penstock::runner
