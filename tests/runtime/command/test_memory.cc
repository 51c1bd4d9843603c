// Memory that is not to be had, at any place: the program ends with a text and an exit code.
#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <new>

#include "runtime/command/command_line.hpp"
#include "tests/support/program_folder.hpp"

namespace {

// How many more times memory is given; none is counted while it is negative.
long left = -1;

}  // namespace

// Take the place of the library's, which all the others call.
void* operator new(std::size_t size) {
  if (left == 0) throw std::bad_alloc();
  if (left > 0) --left;
  if (void* made = std::malloc(size == 0 ? 1 : size)) return made;
  throw std::bad_alloc();
}
void operator delete(void* made) noexcept { std::free(made); }
void operator delete(void* made, std::size_t) noexcept { std::free(made); }

namespace {

namespace fs = std::filesystem;
using namespace lacestay;

// Standard output or error into a file while this stands.
class Into {
 public:
  Into(int stream, const std::string& path) : stream_(stream), kept_(::dup(stream)) {
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    ::dup2(file, stream);
    ::close(file);
  }
  ~Into() {
    ::dup2(kept_, stream_);
    ::close(kept_);
  }
  Into(const Into&) = delete;
  Into& operator=(const Into&) = delete;

 private:
  int stream_, kept_;
};

TEST_CASE("wherever memory ends, a command ends with a text and an exit code") {
  auto name = (fs::temp_directory_path() / "lacestay-memory-XXXXXX").string();
  REQUIRE(::mkdtemp(name.data()));
  const auto policy = name + "/shop.fitting", out = name + "/out", err = name + "/err";
  {
    const auto text =
        "policy \"Corner shop\"\nedition 1, in force from 1 September 2026\nmoney GBP\nask weight 12 to 180 kg\n"
        "piece stick always \"Stick\"\n  flex  band 20 to 110 flex step 5 flex \"Flex\"\n"
        "chart flex_chart gives stick flex\n  down weight\n    under 40 kg:  35 to 45 flex\n"
        "    the rest:     60 to 75 flex\n";
    runtime::write_file(policy, text);
  }
  struct Case {
    std::vector<const char*> words;
    int code;  // with all the memory it wants
    std::size_t places;
  };
  const auto missing = name + "/missing.fitting";
  const std::vector<Case> cases = {
      {{"lacestay", "advise", policy.c_str(), "weight=38 kg", "--on", "2026-10-03"}, 0, 250},
      // It ends by being told something, for which memory may be short too.
      {{"lacestay", "advise", missing.c_str(), "weight=38 kg"}, 3, 50}};
  for (const auto& each : cases) {
    const auto run_with = [&](long given) {
      const Into output(1, out), problems(2, err);
      left = given;
      const int code = runtime::run(static_cast<int>(each.words.size()), each.words.data());
      left = -1;
      return code;
    };
    REQUIRE(run_with(-1) == each.code);
    const auto whole = tests::bytes_of(err);
    std::size_t cut_short = 0;
    long step = 1;
    int code = 4;
    // Each of the first two hundred places, and further on some of them.
    for (long given = 0; code != each.code; given += step) {
      code = run_with(given);
      const auto told = tests::bytes_of(err);
      INFO(given << ": " << code << " " << told);
      if (code == each.code) {
        CHECK(told == whole);
      } else {
        CHECK(code == 4);
        CHECK((told == "There is not enough memory to go on.\n" ||
               (each.code != 0 && told == "lacestay could not go on, and can't say why.\n")));
        ++cut_short;
      }
      if (given > 200) step = 1 + given / 50;
      REQUIRE(given < 10'000'000);
    }
    CHECK(cut_short > each.places);
  }
  fs::remove_all(name);
}

}  // namespace
