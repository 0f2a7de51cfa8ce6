// penstock rules --trace
#pragma once

#include "runner/commands.hpp"

namespace penstock::runner {

/// All rules with where they are built, tested and shown. The exit code says whether there is a gap.
exit_code trace_rules(const rules_options& wanted, output& out);

}  // namespace penstock::runner
