// A sale taken from the shop's stock, and a sale given back.
//
// The stock is a folder of tables as spreadsheets save them. An item is a file's name and the text in its column
// `item`; its count is the whole number in the column `on hand`. A change rewrites the digits of the counts it is about
// and nothing else, adds its lines to the sales record (sales_record.hpp), and does so in all the files or in none
// (file_set.hpp). A lock in the folder keeps a second till waiting from the first look to the last write.
//
// Left out: who may sell, money, and whether the items make a kit.
#pragma once

#include <chrono>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "grammar/text/result.hpp"
#include "runtime/sale/sales_record.hpp"
#include "runtime/sale/shop_folder.hpp"

namespace lacestay::runtime {

struct SoldItem {
  std::string file, item;   // the file's plain name; the text in its column `item`
  std::string make, model;  // for the record
  std::string price;        // for the record: by its tag, as the stock files have it ("125.00")
};

// What each file held when the quote was made: plain name to sha256 (sha256.hpp) of its bytes.
using QuotedFiles = std::map<std::string, std::string>;

struct StockChange {
  struct Count {
    std::string file, item;
    std::int64_t before = 0, after = 0;
  };
  std::int64_t sale = 0;      // its number in the record, from 1
  std::string taken_at;       // when it was sold, as the record has it
  std::vector<Count> counts;  // each item once, in the order first named
};

// What sets a sale on the record: UTC.
using Moment = std::chrono::sys_seconds;

// Lowers the count of each item by one for each time it is named. Where there is a problem nothing is sold, except that
// sale-12 and sale-13 name a sale that is half done, this one or one cut short before it, and say what becomes of it.
// Of `quoted`, only the files of the items are held to be what they were. Cost: linear in the files of the items and
// the record; the disk takes the most, as what is written is waited for eight times or so.
Result<StockChange> take(const std::string& folder, const QuotedFiles& quoted, const std::vector<SoldItem>& items,
                         Moment when, const StockManner& manner = {});

// Raises the counts a sale lowered, and records that. The files may have been edited since, as long as each item is
// there exactly once. Problems and cost as above.
Result<StockChange> give_back(const std::string& folder, std::int64_t sale, Moment when,
                              const StockManner& manner = {});

// Finishes, undoes or forgets what a crash cut short; to be called before anyone reads the stock. Cheap where there is
// nothing, and then the folder may be read-only. Gives what a person should be told: a sentence, or nothing.
Result<std::string> settle(const std::string& folder, const StockManner& manner = {});

}  // namespace lacestay::runtime
