// A sale taken from the shop's stock, and a sale given back.
//
// The stock is a folder of tables as spreadsheets save them. An item is identified by its file's name and the text in
// the column `item`; its count is the whole number in the column `on hand`. A change rewrites the digits of its items'
// counts and nothing else, appends lines to the sales record (sales_record.hpp), and does so in all files or in none
// (file_set.hpp). A lock on the folder makes a second till wait from the first read to the last write.
//
// Left out: who may sell, money, and whether the items make a kit.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "grammar/text/result.hpp"
#include "runtime/base/moment.hpp"
#include "runtime/sale/sales_record.hpp"
#include "runtime/sale/shop_folder.hpp"

namespace lacestay::runtime {

struct SoldItem {
  std::string file, item;   // the file's plain name; the text in its column `item`
  std::string make, model;  // for the record
  std::string price;        // for the record: the item's own price as the stock files have it ("125.00")
};

// The stock files when the quote was made: plain name to SHA-256 of the content.
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

// Lowers the count of each item by one for each time it is named, on record as sold `when`. Where a problem is
// returned, nothing is sold, except for sale-12 and sale-13: these name a sale that is half done, this one or one
// interrupted before it, and say what becomes of it. Only the items' own files must still be as in `quoted`. Cost:
// linear in the items' files and the record; most of the time goes to about eight flushes of the disk.
Result<StockChange> take(const std::string& folder, const QuotedFiles& quoted, const std::vector<SoldItem>& items,
                         Moment when, const StockManner& manner = {});

// Raises the counts that a sale lowered, and records that. The files may have been edited since, as long as each item
// is there exactly once. Problems and cost as above.
Result<StockChange> give_back(const std::string& folder, std::int64_t sale, Moment when,
                              const StockManner& manner = {});

// Recovery: finishes, undoes or discards a change that a crash interrupted. To be called before the stock is read.
// Cheap where there is none, and then the folder may be read-only. Gives a sentence for the user, or an empty text.
Result<std::string> settle(const std::string& folder, const StockManner& manner = {});

}  // namespace lacestay::runtime
