// Several files of a folder replaced as one transaction: wherever the program or the power stops, all of them or none.
//
// The new content of each file is written and flushed beside it. Then a journal that names all of them is moved into
// place by one rename: that is the commit point. Then each file is exchanged with what is beside it (renameat2 with
// RENAME_EXCHANGE), and the journal is removed. After a crash, the next run finds the journal, sees from fingerprints
// how far each file got, and finishes.
//
// A spreadsheet takes no lock, so a file may be saved at any moment. After each exchange the content that came out is
// checked: where it is not what the change was computed from, or a program has it open for writing, the exchange is
// reversed and the whole change undone. Where a file was edited after its new content was in place, there is no way
// back: what can be done is done, and a person is told what is left to do by hand. An edit is never overwritten. It
// can be lost in one case only: a program that has resolved the file's name but not opened it yet can't be seen. The
// check is repeated after the folder is flushed; a program delayed for longer than that writes to a deleted file.
//
// Where the filesystem can't exchange two files, each is replaced by a rename after a last check, and there is no
// way back once the first is.
//
// Discarded: one journal that holds all the new content (twice the writing, and no way back), and locking the stock
// files themselves (spreadsheets ignore that).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/sale/shop_folder.hpp"

namespace lacestay::runtime {

struct NewFile {
  std::string name;     // a plain name without a folder; the file exists
  std::string before;   // SHA-256 of the content that `bytes` was computed from
  std::string bytes;    // its new content, which differs from that
  std::string by_hand;  // what a person would have to enter instead: "item 7: 2 on hand (3 before)"
};

struct FileSet {
  std::string subject;  // "sale 7"
  std::vector<NewFile> files;
};

// How a change ended: all in place; or `undone`, everything as it was, because some files were saved meanwhile or
// couldn't be replaced.
struct Replaced {
  std::string subject;
  bool undone = false;
  std::vector<std::string> saved_meanwhile;
  std::optional<Problem> refused;  // why they couldn't be
};

// The caller holds the folder's lock and has ended an earlier change (end_what_is_left). Throws Error: before the
// commit point sale-11, and everything is as it was; after it sale-12 (some is left to do by hand) or sale-13 (the disk
// fails; the journal stays, and the next run ends the change). Cost: each file is written and flushed once and read
// some five times; the folder is flushed four times.
[[nodiscard]] Replaced replace_together(const ShopFolder& folder, const FileSet& set);

// Whether an earlier change was interrupted. Cheap: three names are looked up. Needs no lock.
[[nodiscard]] bool something_left(const ShopFolder& folder);

// Finishes or undoes an interrupted change. Nothing where there is none, or it had not reached its commit point: then
// its files are removed. The caller holds the lock. Throws as above.
[[nodiscard]] std::optional<Replaced> end_what_is_left(const ShopFolder& folder);

// Creates a file with this content in one step. False, and nothing is done, where the name is taken.
[[nodiscard]] bool put_new(const ShopFolder& folder, const std::string& name, std::string_view bytes);

}  // namespace lacestay::runtime
