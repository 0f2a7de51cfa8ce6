#include "runner/print_pdf.hpp"

#include "runner/failure.hpp"
#include "runner/streams.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>
#include <thread>
#include <vector>

namespace penstock::runner {

namespace {

constexpr std::chrono::seconds longest_print{120};
constexpr std::chrono::milliseconds between_looks{20};

failure no_pdf(const std::string& why) {
  return {exit_code::input_output,
          error{"file-pdf", why + "; or write HTML with -o and print it from a browser", {"--pdf", 0, 0}}};
}

// A folder of our own for the page, what the browser keeps, and the PDF.
class work_folder {
 public:
  work_folder() {
    std::error_code none;
    std::string path = (std::filesystem::temp_directory_path(none) / "penstock-XXXXXX").string();
    if (none || ::mkdtemp(path.data()) == nullptr) throw no_pdf("no folder for temporary files can be made");
    path_ = path;
  }
  work_folder(const work_folder&) = delete;
  work_folder& operator=(const work_folder&) = delete;
  ~work_folder() {
    std::error_code none;
    std::filesystem::remove_all(path_, none);
  }
  [[nodiscard]] std::string file(const std::string& name) const { return path_ + "/" + name; }

 private:
  std::string path_;
};

pid_t started(std::vector<std::string>& words) {
  posix_spawn_file_actions_t files{};
  posix_spawn_file_actions_init(&files);
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
    posix_spawn_file_actions_addopen(&files, stream, "/dev/null", O_RDWR, 0);
  }
  posix_spawnattr_t how{};
  posix_spawnattr_init(&how);
  // A group of its own, so that all of its processes can be ended together.
  posix_spawnattr_setflags(&how, POSIX_SPAWN_SETPGROUP);
  std::vector<char*> arguments;
  for (std::string& each : words) arguments.push_back(each.data());
  arguments.push_back(nullptr);
  pid_t process = 0;
  const int problem = ::posix_spawnp(&process, words.front().c_str(), &files, &how, arguments.data(), environ);
  posix_spawnattr_destroy(&how);
  posix_spawn_file_actions_destroy(&files);
  if (problem == ENOENT) throw no_pdf("Chromium, which makes the PDF, is not installed; install the package chromium");
  if (problem != 0) throw no_pdf("Chromium cannot be started: " + std::system_category().message(problem));
  return process;
}

// Whether the browser ended well, in time.
bool ended_well(pid_t process) {
  const auto limit = std::chrono::steady_clock::now() + longest_print;
  int status = 0;
  while (::waitpid(process, &status, WNOHANG) == 0) {
    if (std::chrono::steady_clock::now() > limit) {
      ::kill(-process, SIGKILL);
      ::waitpid(process, &status, 0);
      throw no_pdf(fmt::format("Chromium took more than {} s and was ended", longest_print.count()));
    }
    std::this_thread::sleep_for(between_looks);
  }
  return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

}  // namespace

std::string pdf_of(std::string_view html) {
  const work_folder folder;
  write_file(folder.file("page.html"), html);
  std::vector<std::string> words{"chromium", "--headless", "--disable-gpu", "--no-first-run", "--no-pdf-header-footer",
                                 "--user-data-dir=" + folder.file("profile"),
                                 "--print-to-pdf=" + folder.file("page.pdf")};
  // Its sandbox refuses to work for root. The page is ours, has no scripts and loads nothing.
  if (::geteuid() == 0) words.emplace_back("--no-sandbox");
  words.push_back("file://" + folder.file("page.html"));
  const bool good = ended_well(started(words));
  std::ifstream in{folder.file("page.pdf"), std::ios::binary};
  std::string bytes{std::istreambuf_iterator<char>{in}, {}};
  if (!good || !bytes.starts_with("%PDF-")) throw no_pdf("Chromium made no PDF");
  return bytes;
}

}  // namespace penstock::runner
