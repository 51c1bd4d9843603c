// Stock as other programs read it: a sale that was cut short is settled first, and what the folder or the disk can't
// give is told, never thrown, and never passed over.
//
// The test stands between the program and the system: it makes the disk fail.
#include <dirent.h>
#include <dlfcn.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cerrno>
#include <filesystem>

#include "runtime/lacestay.hpp"
#include "tests/support/shop/shop.hpp"

namespace {

namespace fs = std::filesystem;

// The file or the folder whose reading fails; of a folder, after so many names.
std::string failing;
int names_before = 0;

bool fails(int file) {
  std::error_code unknown;
  return !failing.empty() && fs::read_symlink(fmt::format("/proc/self/fd/{}", file), unknown) == failing;
}

}  // namespace

// Take the place of the C library's.
extern "C" ssize_t read(int file, void* bytes, size_t most) {
  if (fails(file)) return errno = EIO, -1;
  return ::syscall(SYS_read, file, bytes, most);
}
extern "C" dirent* readdir(DIR* folder) {
  if (fails(::dirfd(folder)) && names_before-- <= 0) return errno = EIO, nullptr;
  static const auto next = reinterpret_cast<dirent* (*)(DIR*)>(::dlsym(RTLD_NEXT, "readdir"));
  return next(folder);
}

namespace {

using namespace lacestay;
using tests::Files;
using tests::Shop;

const Files one_roll_each = {{"sales.csv", "sale,day,file,item,make,model,price,change\n"},
                             {"tape.csv", "item,make,model,price,on hand,rolls\nA7,M,m,4.00,1,2\n"},
                             {"wax.csv", "item,make,model,price,on hand,bars\nB1,M,m,3.00,1,1\n"}};

const Policy& policy() {
  static const auto read = read_policy_text("corner.fitting", R"(policy "Corner shop"
edition 1, in force from 1 September 2026
money GBP
ask age 4 to 90 years, whole
piece tape always "Tape"
  rolls 1 to 9 step 1 "Rolls"
piece wax always "Wax"
  bars 1 to 9 step 1 "Bars"
rule usual_rolls
  set tape rolls to 2
rule usual_bars
  set wax bars to 1
accept tape with rolls at least advised
accept wax with bars at least advised
)");
  INFO(read.told());
  REQUIRE(read);
  return *read;
}

// "settled; set aside; A7 B1 for 700": what a program has of a shop's folder.
std::string read_from(const Shop& shop) {
  const auto stock = policy().stock(shop.path());
  if (!stock) return stock.told();
  auto told = fmt::format("{};", stock->settled());
  for (const auto& trouble : stock->set_aside()) told += fmt::format(" {}", trouble.text);
  told += ";";
  const auto quote = policy().quote(*policy().player({{"age", "9"}}), *stock, std::chrono::year{2026} / 11 / 29);
  for (const auto& line : quote.lines) told += fmt::format(" {}", line.item);
  return fmt::format("{} for {}", told, quote.total);
}

// The roll of tape is sold, up to that step; false where the sale was through before.
bool sell_up_to(const Shop& shop, int step) {
  runtime::StockManner manner;
  manner.reached = [step, at = 0](std::string_view) mutable {
    if (at++ == step) tests::die();
  };
  return !tests::run([&] {
    static_cast<void>(
        runtime::take(shop.path(), shop.quoted(), {{"tape.csv", "A7", "M", "m", "4.00"}}, tests::tea_time, manner));
  });
}

TEST_CASE("a sale cut short at any step is settled before the stock is read") {
  int before = 0, finished = 0;
  bool cut_short = true;
  for (int step = 0; cut_short; ++step) {
    const Shop shop(one_roll_each);
    cut_short = sell_up_to(shop, step);
    const auto told = read_from(shop);
    INFO(step << ": " << told);
    if (!cut_short) {
      CHECK(told == ";; B1 for 300");
    } else if (shop.files() == one_roll_each) {
      CHECK(told == ";; A7 B1 for 700");
      ++before;
    } else {
      CHECK((told == "A change that had been cut short is finished now: sale 1.;; B1 for 300" ||
             told == ";; B1 for 300"));  // all but the last step's tidying was done
      finished += told.starts_with("A change");
    }
    CHECK(read_from(shop) == told.substr(told.find(';')));
  }
  CHECK(before > 2);
  CHECK(finished > 3);
}

TEST_CASE("a sale that can't be settled is told, and no stock is read") {
  const Shop garbled(one_roll_each);
  garbled.write(".stock.journal", "no journal\n");
  CHECK(read_from(garbled) ==
        "sale-12: A change to the stock was cut short, and what it was can't be read any more.\n"
        "  Try: compare the last lines of the sales record with the counts; then delete 'cut-short.txt'.\n");

  const Shop read_only(one_roll_each);
  REQUIRE(::chmod(read_only.path().c_str(), 0555) == 0);
  CHECK(read_from(read_only) == ";; A7 B1 for 700");
  REQUIRE(::chmod(read_only.path().c_str(), 0755) == 0);
  read_only.write(".stock.journal", "no journal\n");
  REQUIRE(::chmod(read_only.path().c_str(), 0555) == 0);
  CHECK(read_from(read_only) == fmt::format("sale-3: '{}' is a folder that can't be written.\n"
                                            "  Try: let this user write the folder, then try again.\n",
                                            read_only.path()));
}

TEST_CASE("what the disk can't give is told: of a folder nothing is used then, of a file no row") {
  const Shop shop(one_roll_each);
  const auto real = fs::canonical(shop.path()).string();
  for (const int names : {3, 4}) {  // the first two are the folder's own, and are read as it is opened
    failing = real;
    names_before = names;
    const auto told = read_from(shop);
    failing.clear();
    INFO(names);
    CHECK(told == fmt::format("stock-1: '{}' can't be read to its end: Input/output error.\n"
                              "  Try: see to the disk, then try again.\n",
                              shop.path()));
  }
  failing = real + "/tape.csv";
  const auto told = read_from(shop);
  failing.clear();
  CHECK(told == fmt::format("; stock-1: '{}/tape.csv' can't be read to its end.\n"
                            "  Try: see to the disk, then try again.\n; B1 for 300",
                            shop.path()));
  CHECK(read_from(shop) == ";; A7 B1 for 700");
  CHECK(policy().stock(shop / "nowhere").told() ==
        fmt::format("sale-1: The stock folder '{}/nowhere' can't be opened: No such file or directory.\n"
                    "  Try: name the folder that holds the stock files.\n",
                    shop.path()));
}

}  // namespace
