#include "runtime/sale/file_set.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/values/names.hpp"
#include "grammar/text/letters.hpp"
#include "runtime/base/sha256.hpp"
#include "runtime/sale/journal.hpp"

namespace lacestay::runtime {
namespace {

constexpr const char* journal_name = ".stock.journal";
constexpr const char* scratch_name = ".stock.new";  // written here first, then renamed

std::string beside(std::size_t i) { return fmt::format(".stock.{}.new", i); }

// Removes what lies beside the files, from the last to the first, so that a run interrupted here still leaves the
// first, which is all that something_left looks for. Of the first `count` some may be gone already.
void clear(const ShopFolder& folder, std::size_t count = 0) {
  folder.remove(scratch_name);
  while (folder.holds(beside(count))) ++count;
  while (count > 0) folder.remove(beside(--count));
}

// Brings a change that has passed its commit point to its end: a state machine whose state is on the disk. Each round
// reads the standing of every file anew, so that it makes no difference whether this run or an earlier one got there.
class Ending {
 public:
  Ending(const ShopFolder& folder, Journal journal) : folder_(folder), journal_(std::move(journal)) {}

  Replaced end() {
    Replaced result{journal_.subject, false, {}, {}};
    surely([&] { folder_.sync(); });
    folder_.reached("the journal is on the disk");
    while (true) {
      try {
        look();
        result.saved_meanwhile = names_of(Standing::overtaken);
        const bool way_on = result.saved_meanwhile.empty() && names_of(Standing::mixed).empty() && !result.refused;
        const bool way_back = std::none_of(standings_.begin(), standings_.end(), [](Standing one) {
          return one == Standing::kept || one == Standing::mixed;
        });
        if (!way_on && !way_back) {
          if (result.refused) later(*result.refused);
          by_hand();
        }
        if (!(way_on ? place() : undo())) continue;
        surely([&] { folder_.sync(); });
        folder_.reached("the new names are on the disk");
        if (written_late(way_on)) continue;
        result.undone = !way_on;
        break;
      } catch (const Error& error) {
        if (error.problem().code != "sale-11") throw;
        if (result.refused) later(error.problem());
        result.refused = error.problem();  // the next round goes back, if it can
      }
    }
    surely([&] { forget(); });
    return result;
  }

 private:
  enum class Standing {
    waiting,    // the new content is not in place, and the file is as it was
    overtaken,  // the new content is not in place, and the file was saved meanwhile
    placed,     // the new content is in place, and the old is beside it
    kept,       // the new content is in place and can't be taken back: edited since, or the old is gone
    mixed,      // saved meanwhile, and whether before or after the new content was in place can't be told
  };

  void look() {
    standings_.clear();
    for (std::size_t i = 0; i < journal_.files.size(); ++i) standings_.push_back(standing(i));
  }

  Standing standing(std::size_t i) {
    const auto& file = journal_.files[i];
    auto here = folder_.fingerprint(file.name), there = folder_.fingerprint(beside(i));
    const auto known = [&](const std::optional<std::string>& one) { return one == file.before || one == file.after; };
    const auto edited = [&] { return there && (!known(there) || folder_.being_written(beside(i))); };
    if (edited() && known(here)) {
      // The exchange moved an edit out of the file; it belongs back there.
      put_back(i, *here);
      here = folder_.fingerprint(file.name), there = folder_.fingerprint(beside(i));
    }
    if (edited()) return Standing::mixed;
    if (there == file.before) return here == file.after ? Standing::placed : Standing::kept;
    if (here == file.after) return Standing::kept;
    if (there) return here == file.before ? Standing::waiting : Standing::overtaken;
    // Nothing is beside the file: it replaced the file without an exchange, or somebody else removed it.
    return here == file.before ? Standing::overtaken : Standing::mixed;
  }

  [[nodiscard]] std::vector<std::string> names_of(Standing standing) const {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < standings_.size(); ++i)
      if (standings_[i] == standing) names.push_back(journal_.files[i].name);
    return names;
  }

  bool place() {
    for (std::size_t i = 0; i < standings_.size(); ++i)
      if (standings_[i] == Standing::waiting && !swap(i, journal_.files[i].before)) return false;
    return true;
  }

  bool undo() {
    for (std::size_t i = 0; i < standings_.size(); ++i)
      if (standings_[i] == Standing::placed && !swap(i, journal_.files[i].after)) return false;
    return true;
  }

  // Exchanges the file with what is beside it. False where the content that came out is not `expected` (by SHA-256):
  // the next round puts it back.
  bool swap(std::size_t i, const std::string& expected) {
    const auto& name = journal_.files[i].name;
    folder_.reached("about to change places");
    if (folder_.exchange(beside(i), name)) {
      folder_.reached("changed places");
      return came_out(i, expected);
    }
    if (folder_.fingerprint(name) != expected) return false;
    folder_.move_over(beside(i), name);
    folder_.reached("took its place");
    return true;
  }

  // Puts back an edit that lies beside the file. The content that comes out for it should be `expected`; where it is
  // not, the file was saved again in the meantime, and that later edit is put back in turn.
  void put_back(std::size_t i, std::string expected) {
    while (true) {
      const auto goes_in = folder_.fingerprint(beside(i)).value_or("");
      if (!folder_.exchange(beside(i), journal_.files[i].name)) return;
      folder_.reached("put back");
      if (came_out(i, expected)) return;
      expected = goes_in;
    }
  }

  // The content that came out is `expected` and nobody is writing it. Writers are checked first: one that opened the
  // file under its old name has then finished, and no other program knows the new name, so the content is final.
  bool came_out(std::size_t i, const std::string& expected) const {
    return !folder_.being_written(beside(i)) && folder_.fingerprint(beside(i)) == expected;
  }

  // A program that had resolved a file's name before the exchange, and opens it after, is not seen by the check there.
  // By the time the folder is flushed it will normally have opened the file, and its writes lie beside it.
  bool written_late(bool way_on) const {
    for (std::size_t i = 0; i < journal_.files.size(); ++i)
      if (folder_.holds(beside(i)) && !came_out(i, way_on ? journal_.files[i].before : journal_.files[i].after))
        return true;
    return false;
  }

  void forget() {
    folder_.remove(journal_name);
    folder_.reached("the journal is gone");
    folder_.sync();
    clear(folder_, journal_.files.size());
    folder_.reached("all is cleared");
  }

  template <typename Step>
  void surely(Step step) const {
    try {
      step();
    } catch (const Error& error) {
      later(error.problem());
    }
  }

  [[noreturn]] void later(const Problem& problem) const {
    throw Error{"sale-13",
                fmt::format("{} is begun and not ended: {}", grammar::capital(journal_.subject), problem.message),
                fmt::format("{}; it is ended by itself when the stock is next read", problem.hint)};
  }

  // Can go neither forward nor back: places what can be placed, and tells the rest.
  [[noreturn]] void by_hand() {
    place();
    look();
    folder_.sync();
    std::vector<std::string> told, names;
    for (std::size_t i = 0; i < standings_.size(); ++i) {
      const auto& file = journal_.files[i];
      if (standings_[i] != Standing::overtaken && standings_[i] != Standing::mixed) continue;
      names.push_back(fmt::format("'{}'", file.name));
      told.push_back(fmt::format("'{}' should have {}", file.name, file.by_hand));
      if (folder_.holds(beside(i)) && standings_[i] == Standing::mixed)
        told.back() += fmt::format("; what was saved before is in '{}'",
                                   free_name(beside(i), fmt::format("saved-before-{}", file.name)));
    }
    const auto kept = free_name(journal_name, fmt::format("cut-short-{}", journal_.subject));
    folder_.sync();
    clear(folder_, journal_.files.size());
    throw Error{"sale-12",
                fmt::format("{} was cut short, and {} saved meanwhile, so that {} left to do by hand: {}.",
                            grammar::capital(journal_.subject),
                            compiler::listed(names) + (names.size() == 1 ? " was" : " were"),
                            names.size() == 1 ? "it is" : "they are", fmt::join(told, "; ")),
                fmt::format("put that right in the spreadsheet, then delete '{}', which says the same", kept)};
  }

  // Moves a file to a name like "cut-short-sale-7.txt", or with a number after it.
  [[nodiscard]] std::string free_name(const std::string& from, std::string stem) const {
    std::replace(stem.begin(), stem.end(), ' ', '-');
    for (int number = 1;; ++number) {
      const auto name = number == 1 ? stem + ".txt" : fmt::format("{}-{}.txt", stem, number);
      if (folder_.move_to_free(from, name)) return name;
    }
  }

  const ShopFolder& folder_;
  Journal journal_;
  std::vector<Standing> standings_;
};

}  // namespace

Replaced replace_together(const ShopFolder& folder, const FileSet& set) {
  Journal journal{set.subject, {}};
  try {
    for (std::size_t i = 0; i < set.files.size(); ++i) {
      const auto& file = set.files[i];
      folder.write(beside(i), file.bytes, file.name);
      folder.reached("written beside");
      journal.files.push_back({file.name, file.before, sha256(file.bytes), file.by_hand});
    }
    folder.write(scratch_name, journal_text(journal));
    folder.reached("the journal is written");
    folder.sync();
    folder.move_over(scratch_name, journal_name);
  } catch (const Error&) {
    clear(folder);
    throw;
  }
  folder.reached("the change counts");
  return Ending(folder, std::move(journal)).end();
}

bool something_left(const ShopFolder& folder) {
  return folder.holds(journal_name) || folder.holds(beside(0)) || folder.holds(scratch_name);
}

std::optional<Replaced> end_what_is_left(const ShopFolder& folder) {
  auto text = folder.read(journal_name);
  if (!text) {
    clear(folder);
    return std::nullopt;
  }
  auto journal = read_journal(std::move(*text));
  if (!journal) {
    const std::string kept = "cut-short.txt";
    folder.move_over(journal_name, kept);
    folder.sync();
    clear(folder);
    throw Error{"sale-12", "A change to the stock was cut short, and what it was can't be read any more.",
                fmt::format("compare the last lines of the sales record with the counts; then delete '{}'", kept)};
  }
  return Ending(folder, std::move(*journal)).end();
}

bool put_new(const ShopFolder& folder, const std::string& name, std::string_view bytes) {
  folder.write(scratch_name, bytes);
  folder.reached("a new file is written");
  const bool moved = folder.move_to_free(scratch_name, name);
  if (!moved) folder.remove(scratch_name);
  return moved;
}

}  // namespace lacestay::runtime
