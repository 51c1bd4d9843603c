// Sales taken and given back on tables written by hand: every byte of every file after it, and every trouble in full.
#include <fcntl.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/xattr.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <csignal>
#include <filesystem>

#include "runtime/base/sha256.hpp"
#include "tests/support/shop/shop.hpp"

namespace {

using namespace lacestay::tests;
using namespace lacestay::runtime;

namespace fs = std::filesystem;

const std::string heading = "sale,day,file,item,make,model,price,change\n";
const std::string now = "2026-03-14T16:05:09Z";

SoldItem sold(const std::string& file, const std::string& item) { return {file, item, "Birk", "One", "125.00"}; }

std::string taken(const Shop& shop, const std::vector<SoldItem>& items, const StockManner& manner = {}) {
  return told(take(shop.path(), shop.quoted(), items, tea_time, manner));
}

std::string given_back(const Shop& shop, std::int64_t sale) { return told(give_back(shop.path(), sale, tea_time)); }

TEST_CASE("SHA-256 gives what FIPS 180-4's examples give") {
  const std::pair<std::string, const char*> rows[] = {
      {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
      {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
      {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
       "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
      {"abcdefghbcdefghicdefghijdefghijkefghijklfghijklmghijklmnhijklmnoijklmnopjklmnopqklmnopqrlmnopqrsmnopqrstnopqrst"
       "u",
       "cf5b16a778af8380036ce59e7b0492370b249b11e8f07a51afac45037afee9d1"},
      {std::string(1'000'000, 'a'), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
  };
  for (const auto& [text, expected] : rows) CHECK(sha256(text) == expected);
}

TEST_CASE("a count falls by one, and nothing else of the file changes") {
  const std::string mark = "\xEF\xBB\xBF";
  const std::pair<std::string, std::string> rows[] = {
      {"item,on hand\nS1,3\nS2,1\n", "item,on hand\nS1,2\nS2,1\n"},
      {mark + "Item;Make;On_Hand\r\nS1;\"a;b\";10\r\nS2;x;1", mark + "Item;Make;On_Hand\r\nS1;\"a;b\";9\r\nS2;x;1"},
      {"\"on hand\",\"item\",\"note\"\r\n\"100\",\"S1\",\"5\"\" \nblade\"\r\n",
       "\"on hand\",\"item\",\"note\"\r\n\"99\",\"S1\",\"5\"\" \nblade\"\r\n"},
      {"item\tON  HAND\r S1 \t  7  \r\rS2\t\r", "item\tON  HAND\r S1 \t  6  \r\rS2\t\r"},
      {"item,on hand,left over\nS1,\" 1 \",\n,,\n", "item,on hand,left over\nS1,\" 0 \",\n,,\n"},
      // The headings are those that the stock's reader takes.
      {"Item (no.);On-hand (pairs)\nS1;3\n", "Item (no.);On-hand (pairs)\nS1;2\n"},
      // A row that can't be read is passed over, as the stock's reader does.
      {"item,on hand\nbad\nS1,2,,\n", "item,on hand\nbad\nS1,1,,\n"},
  };
  for (const auto& [before, after] : rows) {
    INFO(before);
    const Shop shop(Files{{"skates.csv", before}});
    const auto text = taken(shop, {sold("skates.csv", "S1")});
    CHECK(text.rfind("sale 1: skates.csv S1 ", 0) == 0);
    CHECK(shop.files() ==
          Files{{"skates.csv", after}, {"sales.csv", heading + "1," + now + ",skates.csv,S1,Birk,One,125.00,-1\n"}});
    CHECK(given_back(shop, 1).substr(0, 7) == "sale 1:");
    CHECK(shop.text("skates.csv") == before);
  }
}

TEST_CASE("one sale over several files, one item twice, and given back") {
  const Files before = {{"helmets.csv", "item;on hand\r\nH1;1\r\n"},
                        {"skates.csv", "item,on hand,price\nS1,3,99\nS2,2,80\n"},
                        {"sticks.csv", "item,on hand\nT1,5\n"}};
  const Shop shop(before);
  CHECK(taken(shop, {sold("skates.csv", "S2"),
                     {"helmets.csv", "H1", "Ask, & Embla", "the \"7\"", "49.99"},
                     sold("skates.csv", "S1"),
                     sold("skates.csv", "S2")}) ==
        "sale 1: skates.csv S2 2 -> 0, helmets.csv H1 1 -> 0, skates.csv S1 3 -> 2\n");
  CHECK(taken(shop, {sold("sticks.csv", "T1")}) == "sale 2: sticks.csv T1 5 -> 4\n");
  const auto record = heading + "1," + now + ",skates.csv,S2,Birk,One,125.00,-1\n1," + now +
                      ",helmets.csv,H1,\"Ask, & Embla\",\"the \"\"7\"\"\",49.99,-1\n1," + now +
                      ",skates.csv,S1,Birk,One,125.00,-1\n1," + now + ",skates.csv,S2,Birk,One,125.00,-1\n2," + now +
                      ",sticks.csv,T1,Birk,One,125.00,-1\n";
  CHECK(shop.files() == Files{{"helmets.csv", "item;on hand\r\nH1;0\r\n"},
                              {"sales.csv", record},
                              {"skates.csv", "item,on hand,price\nS1,2,99\nS2,0,80\n"},
                              {"sticks.csv", "item,on hand\nT1,4\n"}});
  // The files may have been edited since.
  save(shop / "helmets.csv", "note,on hand,item\nnew,7,H1\n");
  CHECK(given_back(shop, 1) == "sale 1: skates.csv S2 0 -> 2, helmets.csv H1 7 -> 8, skates.csv S1 2 -> 3\n");
  CHECK(shop.files() ==
        Files{{"helmets.csv", "note,on hand,item\nnew,8,H1\n"},
              {"sales.csv", record + "1," + now + ",skates.csv,S2,Birk,One,125.00,+1\n1," + now +
                                ",helmets.csv,H1,\"Ask, & Embla\",\"the \"\"7\"\"\",49.99,+1\n1," + now +
                                ",skates.csv,S1,Birk,One,125.00,+1\n1," + now + ",skates.csv,S2,Birk,One,125.00,+1\n"},
              {"skates.csv", before.at("skates.csv")},
              {"sticks.csv", "item,on hand\nT1,4\n"}});
  CHECK(told(settle(shop.path())).empty());
}

TEST_CASE("the record is carried on as a spreadsheet saved it") {
  const std::string edited =
      "\xEF\xBB\xBF"
      "Change;sale;paid by;DAY;file;item;make;model;price\r\n-1;41;card;1 May;skates.csv;S1;\"a;b\";M;1\r\n;;;;;;;;end";
  const Shop shop(Files{{"skates.csv", "item,on hand\nS1,3\n"}, {"sales.csv", edited}});
  CHECK(taken(shop, {sold("skates.csv", "S1")}) == "sale 42: skates.csv S1 3 -> 2\n");
  CHECK(given_back(shop, 41) == "sale 41: skates.csv S1 2 -> 3\n");
  CHECK(shop.text("sales.csv") == edited + "\r\n-1;42;;" + now + ";skates.csv;S1;Birk;One;125,00\r\n+1;41;;" + now +
                                      ";skates.csv;S1;\"a;b\";M;1\r\n");
}

TEST_CASE("owner, mode and attributes of the files are kept") {
  const Shop shop(Files{{"skates.csv", "item,on hand\nS1,3\n"}});
  const auto path = shop / "skates.csv";
  REQUIRE(::chmod(path.c_str(), 02640) == 0);
  const bool superuser = ::geteuid() == 0;
  if (superuser) REQUIRE(::chown(path.c_str(), 1234, 2345) == 0);
  if (superuser) REQUIRE(::chmod(path.c_str(), 02640) == 0);
  const bool attributes = ::setxattr(path.c_str(), "user.shelf", "left", 4, 0) == 0;
  CHECK(taken(shop, {sold("skates.csv", "S1")}) == "sale 1: skates.csv S1 3 -> 2\n");
  struct stat about {};
  REQUIRE(::stat(path.c_str(), &about) == 0);
  CHECK((about.st_mode & 07777) == 02640);
  if (superuser) CHECK((about.st_uid == 1234 && about.st_gid == 2345));
  char value[8] = {};
  if (attributes) CHECK(::getxattr(path.c_str(), "user.shelf", value, sizeof value) == 4);
  if (attributes) CHECK(std::string(value) == "left");
}

TEST_CASE("what can't be sold is told, and every file stays as it was") {
  const std::string skates = "item,on hand\nS1,3\nS2,0\nS3,1\nS4,x\nS5,\nS6,-2\nS7,1\nS7,1\nS8,1.0\n";
  const Files before = {{"skates.csv", skates},
                        {"helmets.csv", "item,on hand\nH1,1\n"},
                        {"no_items.csv", "name,on hand\na,1\n"},
                        {"no_counts.csv", "item,left\na,1\n"},
                        {"two.csv", "item,on hand,On_Hand\na,1,1\n"}};
  const Shop shop(before);
  fs::create_symlink("/etc/hostname", shop / "link.csv");
  fs::create_directory(shop / "folder.csv");
  const auto all = shop.files();
  const std::pair<std::vector<SoldItem>, const char*> rows[] = {
      {{}, "sale-5: There is nothing to sell.\n  Try: name an item.\n"},
      {{sold("helmets.csv", "H1"), sold("skates.csv", "S2")},
       "sale-7: Item 'S2' in 'skates.csv', line 3: 0 on hand, and 1 to be sold.\n"
       "  Try: quote again; where the shelf holds more, put the count right first.\n"},
      {{sold("skates.csv", "S3"), sold("skates.csv", "S3")},
       "sale-7: Item 'S3' in 'skates.csv', line 4: 1 on hand, and 2 to be sold.\n"
       "  Try: quote again; where the shelf holds more, put the count right first.\n"},
      {{sold("helmets.csv", "H1"), sold("skates.csv", "S9")},
       "sale-5: Item 'S9' is not in 'skates.csv'.\n  Try: put its row back, or quote again.\n"},
      {{sold("skates.csv", "S7")},
       "sale-5: Item 'S7' stands twice in 'skates.csv', in lines 8 and 9.\n"
       "  Try: give each item a number of its own.\n"},
      {{sold("skates.csv", "S4")},
       "sale-6: The count of item 'S4' in 'skates.csv', line 5, is 'x', which is not a whole number from 0.\n"
       "  Try: put the number on hand there.\n"},
      {{sold("skates.csv", "S5")},
       "sale-6: The count of item 'S5' in 'skates.csv', line 6, is '', which is not a whole number from 0.\n"
       "  Try: put the number on hand there.\n"},
      {{sold("skates.csv", "S6")},
       "sale-6: The count of item 'S6' in 'skates.csv', line 7, is '-2', which is not a whole number from 0.\n"
       "  Try: put the number on hand there.\n"},
      {{sold("skates.csv", "S8")},
       "sale-6: The count of item 'S8' in 'skates.csv', line 10, is '1.0', which is not a whole number from 0.\n"
       "  Try: put the number on hand there.\n"},
      {{sold("no_items.csv", "a")},
       "sale-5: 'no_items.csv' has no column 'item'.\n  Try: give the column its heading.\n"},
      {{sold("no_counts.csv", "a")},
       "sale-5: 'no_counts.csv' has no column 'on hand'.\n  Try: give the column its heading.\n"},
      {{sold("two.csv", "a")}, "sale-5: 'two.csv' has two columns 'on hand'.\n  Try: give one of them another name.\n"},
      {{sold("link.csv", "a")}, "sale-3: 'link.csv' is a link.\n  Try: put the file itself into the folder.\n"},
      {{sold("folder.csv", "a")},
       "sale-3: 'folder.csv' is not a plain file.\n  Try: put the file itself into the folder.\n"},
      {{sold("gone.csv", "a")},
       "sale-3: 'gone.csv' is no stock file of this folder.\n  Try: put the file back, or quote again.\n"},
      {{sold("../skates.csv", "S1")},
       "sale-3: '../skates.csv' is no stock file of this folder.\n  Try: put the file back, or quote again.\n"},
      {{sold("sales.csv", "S1")},
       "sale-3: 'sales.csv' is no stock file of this folder.\n  Try: put the file back, or quote again.\n"},
  };
  for (const auto& [items, expected] : rows) {
    CHECK(told(take(shop.path(), shop.quoted(), items, tea_time)) == expected);
    CHECK(shop.files() == all);
  }
}

TEST_CASE("a file edited since the quote is not touched") {
  const Shop shop(Files{{"skates.csv", "item,on hand\nS1,3\n"}, {"helmets.csv", "item,on hand\nH1,1\n"}});
  auto quoted = shop.quoted();
  save(shop / "skates.csv", "item,on hand\nS1,3 \n");
  const auto all = shop.files();
  const auto* changed = "sale-4: 'skates.csv' is no longer what it was when the quote was made.\n  Try: quote again.\n";
  CHECK(told(take(shop.path(), quoted, {sold("helmets.csv", "H1"), sold("skates.csv", "S1")}, tea_time)) == changed);
  quoted.erase("skates.csv");
  CHECK(told(take(shop.path(), quoted, {sold("skates.csv", "S1")}, tea_time)) == changed);
  CHECK(shop.files() == all);
  // Nor does an edit elsewhere stop a sale.
  CHECK(told(take(shop.path(), quoted, {sold("helmets.csv", "H1")}, tea_time)) == "sale 1: helmets.csv H1 1 -> 0\n");
}

TEST_CASE("what can't be given back is told") {
  const Shop shop(Files{{"skates.csv", "item,on hand\nS1,3\nS2,3\n"}});
  CHECK(given_back(shop, 1) == "sale-9: 'sales.csv' has no sale 1.\n  Try: look its number up there.\n");
  CHECK(shop.files().size() == 1);
  taken(shop, {sold("skates.csv", "S1")});
  CHECK(given_back(shop, 2) == "sale-9: 'sales.csv' has no sale 2.\n  Try: look its number up there.\n");
  CHECK(given_back(shop, 1) == "sale 1: skates.csv S1 2 -> 3\n");
  CHECK(given_back(shop, 1) == "sale-10: Sale 1 was given back already, at " + now +
                                   ".\n  Try: look the right sale's number up in the record.\n");
  taken(shop, {sold("skates.csv", "S1"), sold("skates.csv", "S2")});
  save(shop / "skates.csv", "item,on hand\nS1,3\n");
  const auto all = shop.files();
  CHECK(given_back(shop, 2) == "sale-5: Item 'S2' is not in 'skates.csv'.\n  Try: put its row back, or quote again.\n");
  CHECK(shop.files() == all);
}

TEST_CASE("a record that can't be carried on is told, and nothing is sold") {
  const auto end = "\n  Try: put that right in 'sales.csv', or keep it under another name to begin a new one.\n";
  const std::pair<std::string, std::string> rows[] = {
      {"", "it has no column 'sale'."},
      {"sale,day,file,item,make,model,price\n", "it has no column 'change'."},
      {heading + "1,d,f,i,m,m,1,\"-1\n", "line 2: This quote is never closed, so the rest of the file can't be read."},
      {heading + "1,d,f\n", "line 2: This row has 3 cells, but the heading has 8."},
      {heading + "1a,d,f,i,m,m,1,-1\n", "line 2: '1a' in column 'sale' is not a whole number."},
  };
  for (const auto& [record, expected] : rows) {
    const Shop shop(Files{{"skates.csv", "item,on hand\nS1,3\n"}, {"sales.csv", record}});
    const auto all = shop.files();
    CHECK(taken(shop, {sold("skates.csv", "S1")}) == "sale-8: No line can be added to 'sales.csv': " + expected + end);
    CHECK(shop.files() == all);
  }
  const Shop shop(Files{{"skates.csv", "item,on hand\nS1,3\n"}, {"sales.csv", heading + "1,d,f,i,m,m,1,less\n"}});
  CHECK(given_back(shop, 1) ==
        "sale-8: No line can be added to 'sales.csv': line 2: 'less' in column 'change' is neither -1 nor +1." +
            std::string(end));
}

TEST_CASE("a folder or file that is read-only or not there is told") {
  const Shop shop(Files{{"skates.csv", "item,on hand\nS1,3\n"}, {"sales.csv", heading}});
  const auto all = shop.files();
  const auto refused = [&](const std::string& expected) {
    CHECK(taken(shop, {sold("skates.csv", "S1")}) == expected);
    CHECK(shop.files() == all);
  };
  for (const std::string name : {"skates.csv", "sales.csv"}) {
    fs::permissions(shop / name, fs::perms::owner_read);
    refused("sale-3: '" + name + "' is read-only.\n  Try: let this user write it, then try again.\n");
    fs::permissions(shop / name, fs::perms::owner_read | fs::perms::owner_write);
  }
  fs::permissions(shop.path(), fs::perms::owner_read | fs::perms::owner_exec);
  refused("sale-3: '" + shop.path() +
          "' is a folder that can't be written.\n  Try: let this user write the folder, then try again.\n");
  CHECK(told(settle(shop.path())).empty());
  fs::permissions(shop.path(), fs::perms::owner_all);
  CHECK(told(settle(shop / "nowhere")) == "sale-1: The stock folder '" + shop / "nowhere" +
                                              "' can't be opened: No such file or directory.\n"
                                              "  Try: name the folder that holds the stock files.\n");
}

TEST_CASE("where there is no room, nothing is sold and nothing is left over") {
  std::string large = "item,on hand,note\nS1,3,";
  large += std::string(100'000, 'n') + "\n";
  const Shop shop(Files{{"helmets.csv", "item,on hand\nH1,1\n"}, {"skates.csv", large}, {"sales.csv", heading}});
  const auto all = shop.files();
  // No file may grow past 50,000 bytes.
  CHECK(run([&] {
    const rlimit limit = {50'000, 50'000};
    ::setrlimit(RLIMIT_FSIZE, &limit);
    std::signal(SIGXFSZ, SIG_IGN);
    if (taken(shop, {sold("helmets.csv", "H1"), sold("skates.csv", "S1")}) !=
        "sale-11: 'skates.csv' can't be written: File too large.\n  Try: make room on the disk, then try again.\n")
      die();
  }));
  CHECK(shop.files() == all);
}

TEST_CASE("a till waits for another one, but not for ever") {
  const Shop shop(Files{{"skates.csv", "item,on hand\nS1,3\n"}});
  const int lock = ::open((shop / ".stock.lock").c_str(), O_RDONLY | O_CREAT | O_CLOEXEC, 0666);
  REQUIRE(::flock(lock, LOCK_EX) == 0);
  StockManner manner;
  manner.patience = std::chrono::milliseconds(200);
  CHECK(taken(shop, {sold("skates.csv", "S1")}, manner) == "sale-2: Another till has held '" + shop.path() +
                                                               "/.stock.lock' for 0.2 seconds.\n"
                                                               "  Try: try again once its sale is through.\n");
  CHECK(shop.files().size() == 1);
  ::close(lock);
  CHECK(taken(shop, {sold("skates.csv", "S1")}, manner) == "sale 1: skates.csv S1 3 -> 2\n");
}

}  // namespace
