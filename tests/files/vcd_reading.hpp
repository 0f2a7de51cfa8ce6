// A reader of value change dumps, written after the grammar of IEEE 1364-2005, clause 18, not after our writer.
#pragma once

#include <cstdint>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

namespace penstock_tests {

struct vcd_variable {
  std::string type;
  int size = 0;
  std::string code;
  std::string comment;                                        ///< the first that follows its declaration
  std::vector<std::pair<std::int64_t, std::string>> changes;  ///< time, digits without base

  /// Its value at a time; "" before the first.
  [[nodiscard]] std::string at(std::int64_t time) const {
    std::string value;
    for (const auto& [when, what] : changes) {
      if (when <= time) value = what;
    }
    return value;
  }
};

class vcd_reading {
 public:
  explicit vcd_reading(const std::string& text) : words_{text} {
    declarations();
    if (problem.empty()) simulation_commands();
  }

  std::map<std::string, vcd_variable> variables;  ///< by path, with points between
  std::string timescale;
  std::int64_t end = -1;
  std::string problem;

 private:
  void declarations() {
    std::string word;
    while (words_ >> word) {
      if (word == "$enddefinitions") {
        expect_end();
        if (!scopes_.empty()) fail("a scope is open at $enddefinitions");
        return;
      }
      if (word == "$scope") {
        const std::string type = next();
        if (!std::set<std::string>{"module", "task", "function", "begin", "fork"}.contains(type)) fail("scope " + type);
        scopes_.push_back(identifier(next()));
        if (!paths_.insert(path_of("")).second) fail("scope twice: " + path_of(""));
        expect_end();
      } else if (word == "$upscope") {
        if (scopes_.empty()) return fail("$upscope without scope");
        scopes_.pop_back();
        expect_end();
      } else if (word == "$var") {
        variable();
      } else if (word == "$timescale") {
        timescale = until_end();
      } else if (word == "$comment" || word == "$version" || word == "$date") {
        const std::string comment = until_end();
        if (word == "$comment" && last_ != nullptr && last_->comment.empty()) last_->comment = comment;
      } else {
        return fail("no declaration: " + word);
      }
    }
    fail("no $enddefinitions");
  }

  void variable() {
    vcd_variable made;
    made.type = next();
    made.size = std::stoi(next());
    made.code = next();
    for (const char c : made.code) {
      if (c < '!' || c > '~') fail("code " + made.code);
    }
    const std::string path = path_of(identifier(next()));
    expect_end();
    if (scopes_.empty()) fail("a variable outside of every scope");
    if (made.type == "real" && made.size != 64) fail("size of a real variable");
    if (!codes_.emplace(made.code, path).second) fail("code twice: " + made.code);
    const auto [at, is_new] = variables.emplace(path, std::move(made));
    if (!is_new) fail("variable twice: " + path);
    last_ = &at->second;
  }

  void simulation_commands() {
    std::string word;
    std::int64_t now = -1;
    bool in_dump = false;
    while (problem.empty() && words_ >> word) {
      if (word[0] == '#') {
        const std::int64_t time = std::stoll(word.substr(1));
        if (time <= now) return fail("time runs backwards at " + word);
        now = time;
      } else if (word == "$dumpvars") {
        in_dump = true;
      } else if (word == "$end" && in_dump) {
        in_dump = false;
      } else if (now < 0) {
        return fail("a value before the first time");
      } else if (word[0] == 'r' || word[0] == 'R' || word[0] == 'b' || word[0] == 'B') {
        change(now, next(), word.substr(1), word[0] == 'r' || word[0] == 'R');
      } else if (word[0] == '0' || word[0] == '1') {
        change(now, word.substr(1), word.substr(0, 1), false);
      } else {
        return fail("no value change: " + word);
      }
    }
    if (in_dump) fail("$dumpvars is not ended");
    end = now;
  }

  void change(std::int64_t now, const std::string& code, const std::string& digits, bool is_real) {
    const auto path = codes_.find(code);
    if (path == codes_.end()) return fail("no variable has the code " + code);
    vcd_variable& of = variables.at(path->second);
    if ((of.type == "real") != is_real) return fail("wrong kind of value for " + path->second);
    const auto allowed = is_real ? "+-.0123456789eE" : "01";
    if (digits.empty() || digits.find_first_not_of(allowed) != std::string::npos) return fail("value " + digits);
    if (!is_real && digits.size() > static_cast<std::size_t>(of.size)) return fail("value too long: " + digits);
    of.changes.emplace_back(now, digits);
  }

  [[nodiscard]] std::string path_of(const std::string& name) const {
    std::string path;
    for (const std::string& each : scopes_) path += each + '.';
    return path + name;
  }

  std::string identifier(const std::string& name) {
    const char* const letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_";
    const std::string rest = std::string{letters} + "0123456789$";
    const bool fine = !name.empty() && std::string{letters}.find(name[0]) != std::string::npos &&
                      name.find_first_not_of(rest) == std::string::npos;
    if (!fine) fail("no identifier: " + name);
    return name;
  }

  std::string next() {
    std::string word;
    if (!(words_ >> word)) fail("the text ends too early");
    return word;
  }
  void expect_end() {
    if (next() != "$end") fail("$end is missing");
  }
  std::string until_end() {
    std::string all;
    for (std::string word = next(); problem.empty() && word != "$end"; word = next()) {
      all += (all.empty() ? "" : " ") + word;
    }
    return all;
  }
  void fail(const std::string& what) {
    if (problem.empty()) problem = what;
  }

  std::istringstream words_;
  std::vector<std::string> scopes_;
  std::set<std::string> paths_;
  std::map<std::string, std::string> codes_;
  vcd_variable* last_ = nullptr;
};

}  // namespace penstock_tests
