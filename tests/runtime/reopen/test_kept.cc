// What earlier versions wrote still does what it did: kept shop folders are advised by, reopened, verified, sold from
// and forgotten in. See tests/golden/kept/README.md.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/support/places.hpp"
#include "tests/support/program_folder.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay::tests;
using nlohmann::json;

struct Kept {
  std::string name, stock_piece;
  int entries, sales;  // of its daybook and of its record of sales
};
const std::vector<Kept> kept = {
    {"corner", "stick", 12, 2}, {"harbour", "helmet", 11, 3}, {"quay", "elbow_pads", 13, 3}, {"weir", "helmet", 20, 3}};

// A copy of a kept folder, in which the program is run.
class KeptShop : public ProgramFolder {
 public:
  explicit KeptShop(const Kept& which) {
    fs::copy(in_checkout("tests/golden/kept/" + which.name), folder(), fs::copy_options::recursive);
  }
};

// One line an answer, with all that is still possible.
std::string answers_of(const json& advice) {
  std::string out;
  const auto line = [&](const std::string& about, const json& answer) {
    out += about + ":";
    for (const auto& each : answer["possible"]) out += " [" + each.get<std::string>() + "]";
    out += "\n";
  };
  for (const auto& piece : advice["pieces"]) {
    const auto name = piece["piece"].get<std::string>();
    line(name, piece["presence"]);
    for (const auto& property : piece["properties"])
      line(name + " " + property["property"].get<std::string>(), property["answer"]);
  }
  return out;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> lines;
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::string advised(const KeptShop& shop, const std::string& policy) {
  std::string all;
  for (const auto& player : lines_of(shop.read("players.txt"))) {
    const auto ran = shop.run("advise " + policy + " --json --on 2026-10-03 " + player);
    INFO(policy << ": " << player << "\n" << ran.err);
    REQUIRE(json::accept(ran.out));
    all += "# " + player + "\n" + answers_of(json::parse(ran.out));
  }
  return all;
}

TEST_CASE("kept policies are proved, and advise as they did") {
  for (const auto& each : kept) {
    const KeptShop shop(each);
    INFO(each.name);
    CHECK(shop.run("inspect " + each.name + ".sealed").code == 0);
    CHECK(shop.run("inspect " + shop.read("policy.txt")).code == 0);
    CHECK(advised(shop, each.name + ".sealed") == shop.read("answers.txt"));
    CHECK(advised(shop, shop.read("policy.txt")) == shop.read("answers.txt"));
  }
}

TEST_CASE("kept daybooks verify, and each entry opens again with the answer it had") {
  for (const auto& each : kept) {
    const KeptShop shop(each);
    const auto daybook = each.name + ".daybook";
    CHECK(shop.said("reopen " + daybook + " --verify").find(std::to_string(each.entries) + " entries hold") == 0);
    CHECK(lines_of(shop.said("reopen " + daybook + " --all")).size() == static_cast<std::size_t>(each.entries));
    std::string all;
    for (int entry = 1; entry <= each.entries; ++entry) {
      const auto ran = shop.run("reopen " + daybook + " " + std::to_string(entry) + " --json");
      INFO(each.name << " " << entry << "\n" << ran.err);
      REQUIRE(json::accept(ran.out));
      const auto opened = json::parse(ran.out);
      CHECK(opened["altered"].empty());
      CHECK(shop.run("reopen " + daybook + " " + std::to_string(entry)).code == ran.code);
      all += std::to_string(entry) + " " + opened["kind"].get<std::string>() + " " +
             (opened["same_answer"].is_null()     ? "-"
              : opened["same_answer"].get<bool>() ? "same"
                                                  : "other") +
             " exit " + std::to_string(ran.code) + "\n";
    }
    CHECK(all == shop.read("reopened.txt"));
  }
}

TEST_CASE("kept stock is sold from and given back to, and the record goes on") {
  for (const auto& each : kept) {
    const KeptShop shop(each);
    const auto before = shop.read("stock/" + each.stock_piece + ".csv");
    const auto player = lines_of(shop.read("players.txt")).front();
    const auto sold = shop.run("quote " + each.name + ".sealed --stock stock --on 2026-10-03 --take --daybook " +
                               each.name + ".daybook " + player);
    INFO(sold.out << sold.err);
    const auto sale = std::to_string(each.sales + 1);
    CHECK(sold.out.find("Sale " + sale + " is taken from the stock") != std::string::npos);
    CHECK(shop.read("stock/" + each.stock_piece + ".csv") != before);
    (void)shop.said("quote --stock stock --give-back " + sale + " --daybook " + each.name + ".daybook");
    CHECK(shop.read("stock/" + each.stock_piece + ".csv") == before);
    // An old sale is given back too.
    (void)shop.said("quote --stock stock --give-back 1 --daybook " + each.name + ".daybook");
    CHECK(shop.said("reopen " + each.name + ".daybook --verify").find(" entries hold") != std::string::npos);
  }
}

TEST_CASE("kept daybooks forget") {
  for (const auto& each : kept) {
    const KeptShop shop(each);
    const auto daybook = each.name + ".daybook";
    (void)shop.said("reopen " + daybook + " --forget 1");
    CHECK(shop.said("reopen " + daybook + " --verify").find(" entries hold") != std::string::npos);
    (void)shop.said("reopen " + daybook +
                    " --keep-for '1 days'");  // written in November 2026: all is older by then, or none
    CHECK(shop.said("reopen " + daybook + " --verify").find(" entries hold") != std::string::npos);
  }
}

}  // namespace
