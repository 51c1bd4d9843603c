// Several files of a folder replaced together: whenever the program or the power goes, all of them or none.
//
// What each file is to hold is written beside it first. A journal that names them, moved into place in one step, is
// the moment from which the change counts. Then each file changes places with what is beside it, and the journal goes.
// Whoever comes after a crash finds the journal and what is beside the files, and carries on from there.
//
// A spreadsheet asks for no lock. So what came out of a change of places is looked at: where it isn't what the change
// was worked out from, or a program has it open to write, someone saved in that instant; it is put back, and the
// whole change is undone. Where even that can't be (another file was edited after its new bytes were in place), what
// can be done is done, and a person is told what is left to do by hand. An edit is never overwritten, and it is lost in
// one case alone: nobody can see a program that has found the file by its name and not opened it yet. Such a one is
// looked for once more when the disk has written the new names; one that is held up for longer writes into a file that
// is gone.
//
// Discarded: one journal with all the new bytes in it (twice the writing, and no way back), and locking the stock files
// themselves (no spreadsheet heeds it).
//
// Where the disk can't let two files change places, one takes the other's place after a last look, and there is no
// way back once the first has.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/sale/shop_folder.hpp"

namespace lacestay::runtime {

struct NewFile {
  std::string name;     // a plain name; the file is there
  std::string before;   // the fingerprint of the bytes that `bytes` were worked out from
  std::string bytes;    // what it is to hold; others
  std::string by_hand;  // for a person, should it come to that: "item 7: 2 on hand (3 before)"
};

struct FileSet {
  std::string subject;  // "sale 7"
  std::vector<NewFile> files;
};

// How a change ended: all in place, or all as it was because these files were saved meanwhile, or couldn't be replaced.
struct Replaced {
  std::string subject;
  bool undone = false;
  std::vector<std::string> saved_meanwhile;
  std::optional<Problem> refused;  // why they couldn't be
};

// The folder is locked, and nothing is left of an earlier change. Before the change counts: sale-11, and all is as it
// was. After: sale-12 (some is left to do by hand), sale-13 (the disk fails; the journal stays for later).
// Cost: each file is written and flushed once and read some five times; the folder is flushed four times.
[[nodiscard]] Replaced replace_together(const ShopFolder& folder, const FileSet& set);

// Whether a change was cut short. Cheap: three names are looked for.
[[nodiscard]] bool something_left(const ShopFolder& folder);

// Ends what was cut short; nothing where it had not come to count. The folder is locked. Errors as above.
[[nodiscard]] std::optional<Replaced> end_what_is_left(const ShopFolder& folder);

// A file that was not there yet, in one step. False where there is one by now.
[[nodiscard]] bool put_new(const ShopFolder& folder, const std::string& name, std::string_view bytes);

}  // namespace lacestay::runtime
