#include "tests/support/shop/shop.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "runtime/base/sha256.hpp"
#include "tests/support/process.hpp"

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

// Thousands of tests need not wait for a disk.
fs::path place(Shop::On where) {
  const fs::path memory = "/dev/shm";
  return where == Shop::On::memory && ::access(memory.c_str(), W_OK) == 0 ? memory : fs::temp_directory_path();
}

}  // namespace

const runtime::Moment tea_time = std::chrono::sys_days(std::chrono::year(2026) / 3 / 14) + std::chrono::hours(16) +
                                 std::chrono::minutes(5) + std::chrono::seconds(9);

Shop::Shop(const Files& files, On where) : Folder(place(where)) {
  for (const auto& [name, bytes] : files) save(*this / name, bytes);
}

std::string Shop::text(const std::string& name) const {
  std::ifstream file(*this / name, std::ios::binary);
  std::ostringstream all;
  all << file.rdbuf();
  return all.str();
}

Files Shop::files() const {
  Files all;
  for (const auto& entry : fs::directory_iterator(folder())) {
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

bool run(const std::function<void()>& work) {
  const auto ran = Forked([&] { return work(), 0; }).ended();
  if (ran.code == 0 || ran.code == died) return ran.code == 0;
  throw std::runtime_error("the process ended otherwise");
}

void die() { ::_exit(died); }

std::string told(const Result<runtime::StockChange>& result) {
  return result ? told(*result) : render(result.problem());
}

std::string told(const Result<std::string>& result) { return result ? *result : render(result.problem()); }

}  // namespace lacestay::tests
