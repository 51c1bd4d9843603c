#include "tests/support/shop/shop.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <stdlib.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "runtime/base/sha256.hpp"

namespace lacestay::tests {

namespace fs = std::filesystem;

namespace {

constexpr int died = 7;

std::string told(const runtime::StockChange& change) {
  auto text = fmt::format("sale {}:", change.sale);
  for (const auto& count : change.counts)
    text += fmt::format(" {} {} {} -> {},", count.file, count.item, count.before, count.after);
  text.back() = '\n';
  return text;
}

}  // namespace

const runtime::Moment tea_time = std::chrono::sys_days(std::chrono::year(2026) / 3 / 14) + std::chrono::hours(16) +
                                 std::chrono::minutes(5) + std::chrono::seconds(9);

Shop::Shop(const Files& files, On where) {
  const fs::path memory = "/dev/shm";
  const bool in_memory = where == On::memory && ::access(memory.c_str(), W_OK) == 0;
  path_ = ((in_memory ? memory : fs::temp_directory_path()) / "lacestay-shop-XXXXXX").string();
  if (!::mkdtemp(path_.data())) throw std::runtime_error("no folder for the test");
  for (const auto& [name, bytes] : files) save(of(name), bytes);
}

Shop::~Shop() {
  fs::permissions(path_, fs::perms::owner_all);
  fs::remove_all(path_);
}

std::string Shop::text(const std::string& name) const {
  std::ifstream file(of(name), std::ios::binary);
  std::ostringstream all;
  all << file.rdbuf();
  return all.str();
}

Files Shop::files() const {
  Files all;
  for (const auto& entry : fs::directory_iterator(path_)) {
    const auto name = entry.path().filename().string();
    if (name != ".stock.lock") all[name] = text(name);
  }
  return all;
}

runtime::QuotedFiles Shop::quoted() const {
  runtime::QuotedFiles all;
  for (const auto& [name, bytes] : files()) all[name] = runtime::sha256(bytes);
  return all;
}

void save(const std::string& path, const std::string& bytes, Saving how) {
  const auto target = how == Saving::renamed ? path + "~" : path;
  std::ofstream(target, std::ios::binary) << bytes;
  if (how == Saving::renamed) fs::rename(target, path);
}

int start(const std::function<void()>& work) {
  const int process = ::fork();
  if (process != 0) return process;
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);  // nothing goes on when the test is stopped
  work();
  ::_exit(0);
}

void wait_for(int process) { ::waitpid(process, nullptr, 0); }

bool run(const std::function<void()>& work) {
  int status = 0;
  ::waitpid(start(work), &status, 0);
  if (WIFEXITED(status) && (WEXITSTATUS(status) == 0 || WEXITSTATUS(status) == died)) return WEXITSTATUS(status) == 0;
  throw std::runtime_error("the process ended otherwise");
}

void die() { ::_exit(died); }

std::string told(const Result<runtime::StockChange>& result) {
  return result ? told(*result) : render(result.problem());
}

std::string told(const Result<std::string>& result) { return result ? *result : render(result.problem()); }

}  // namespace lacestay::tests
