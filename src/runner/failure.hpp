// How a command of the program gives up: with an exit code and an error for the person.
#pragma once

#include "penstock/result.hpp"
#include "runner/exit_codes.hpp"

#include <exception>
#include <string>
#include <utility>

namespace penstock::runner {

/// Thrown inside the program only; `main` turns it into a message and an exit code.
class failure : public std::exception {
 public:
  failure(exit_code code, error problem) : code_{code}, problem_{std::move(problem)}, words_{to_string(problem_)} {}
  [[nodiscard]] const char* what() const noexcept override { return words_.c_str(); }
  [[nodiscard]] exit_code code() const { return code_; }
  [[nodiscard]] const error& problem() const { return problem_; }

 private:
  exit_code code_;
  error problem_;
  std::string words_;
};

/// A failure of the command line: which argument, and what is wrong with it.
[[nodiscard]] inline failure wrong_use(const std::string& argument, const std::string& message, const std::string& id) {
  return {exit_code::wrong_use, error{id, message, {argument, 0, 0}}};
}

/// The value of a result, or a failure.
template <class T>
[[nodiscard]] T value_or_fail(result<T> r, exit_code code) {
  if (!r) throw failure{code, r.problem()};
  return *std::move(r);
}

/// The same for what was read from a file: one that cannot be read is another exit code than one that is wrong.
template <class T>
[[nodiscard]] T read_or_fail(result<T> r) {
  if (r) return *std::move(r);
  throw failure{r.problem().id.starts_with("file-") ? exit_code::input_output : exit_code::bad_input, r.problem()};
}

}  // namespace penstock::runner
