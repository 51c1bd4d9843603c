#include "compiler/check/files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "grammar/read/reader.hpp"
#include "grammar/read/sheet.hpp"
#include "grammar/text/letters.hpp"
#include "grammar/text/plain_text.hpp"

namespace lacestay::compiler {

namespace fs = std::filesystem;

namespace {

// Files are read one inside the other; a shop's policy has a handful.
constexpr std::size_t most_files = 200;

class Gathering {
 public:
  Gathering(const ReadFile& read_file, grammar::Diagnostics& diagnostics)
      : read_file_(read_file), diagnostics_(diagnostics) {}

  void own(const std::string& name, std::string text) {
    seen_.insert(name);
    add(name, std::move(text), grammar::Heading::Kind::policy, {}, {});
  }

  std::vector<PolicyFile> files;

 private:
  // Reads one file, checks how it begins, and follows what it brings in.
  void add(const std::string& name, std::string text, std::optional<grammar::Heading::Kind> due,
           const std::vector<grammar::Condition>& only_for, grammar::Span brought_in) {
    if (auto refused = grammar::refuse_text(text)) {
      // A text past the limit or of foreign bytes is not kept: the message names the file alone.
      const auto kept = std::make_shared<grammar::Source>(
          name, text.substr(0, std::min<std::size_t>(refused->where.begin, 1u << 20)));
      unread_.push_back(kept);
      const auto end = static_cast<std::uint32_t>(kept->text().size());
      refused->where = {kept.get(), end, end};
      diagnostics_.add(std::move(*refused));
      keep_for_spans(kept);
      return;
    }
    PolicyFile file;
    const auto before = diagnostics_.size();
    file.tree = grammar::read(std::make_shared<grammar::Source>(name, std::move(text)), diagnostics_);
    const auto* heading =
        file.tree.items.empty() ? nullptr : std::get_if<grammar::Heading>(&file.tree.items.front().form);
    const auto kind = heading ? std::optional(heading->kind) : std::nullopt;
    const bool wrong = due ? kind != due : !kind || kind == grammar::Heading::Kind::policy;
    const bool unread = wrong && diagnostics_.size() != before;  // perhaps its first line; that was told of
    if (wrong && !unread) tell_beginning(file.tree, kind, due.has_value(), brought_in);
    file.pack = kind == grammar::Heading::Kind::pack;
    file.pack_name = fs::path(name).stem().string();
    file.only_for = only_for;
    if (!only_for.empty() && !file.pack && !wrong)
      diagnostics_.add("parts-6", only_for.front().span,
                       "Only a pack can be held to some players; a part belongs to the policy as a whole.",
                       "leave the for out, or make the file a pack");
    if (!unread) check_headings(file);
    files.push_back(std::move(file));
    const auto index = files.size() - 1;
    for (std::size_t i = 0; i < files[index].tree.items.size(); ++i) {
      // By index: files may move while what is brought in is added.
      const auto* along = std::get_if<grammar::AlongWith>(&files[index].tree.items[i].form);
      if (along) bring_in(grammar::AlongWith(*along), files[index].pack);
      auto* chart = std::get_if<grammar::Chart>(&files[index].tree.items[i].form);
      if (!chart || !chart->sheet || files[index].pack) continue;  // a pack's chart is told of as one
      if (auto sheet = sheet_of(*chart)) keep_for_spans(std::move(sheet));
    }
  }

  static bool is_of_players(const grammar::Item& item) {
    return std::holds_alternative<grammar::Player>(item.form) || std::holds_alternative<grammar::PlayersOf>(item.form);
  }

  // A file that does not begin as it should: what it is instead decides what would help.
  void tell_beginning(const grammar::File& tree, std::optional<grammar::Heading::Kind> kind, bool own,
                      const grammar::Span& brought_in) {
    const auto say = [&](const char* code, const grammar::Span& span, const char* message, const char* hint) {
      auto& told = diagnostics_.add(code, span, message, hint);
      if (brought_in.source) told.notes.push_back({"brought in here", brought_in});
    };
    const auto& first = tree.items.front();
    if (is_of_players(first))
      return say("parts-7", first.head, "This file holds sample players, so it is no policy.",
                 own ? "name the policy they are players of" : "leave the line that brings it in out");
    if (own && kind)
      return say("parts-3", first.head, "This file is brought in by a policy; it is none itself.",
                 "name the policy that brings it in instead");
    for (const auto& item : tree.items)
      if (std::holds_alternative<grammar::Heading>(item.form) && !kind)
        return say("parts-3", item.head, "policy, part and pack stand only on a file's first line.",
                   "move this line above everything else");
    if (own)
      say("parts-3", first.head, "A policy's own file begins with the line that names it.",
          "begin it with a line such as: policy \"Rink shop, starter kit\"");
    else
      say("parts-3", first.head, "A file that is brought in begins with part or pack.",
          "begin it with a line such as: part \"Skaters\", or pack \"House rules\"");
  }

  // A part or a pack has one heading, its first line; only the policy's own file says edition and money.
  void check_headings(const PolicyFile& file) {
    const bool headed = std::holds_alternative<grammar::Heading>(file.tree.items.front().form);
    bool players_told = !headed;  // a file that begins with players was told of
    for (std::size_t i = 1; i < file.tree.items.size(); ++i) {
      const auto& item = file.tree.items[i];
      if (std::holds_alternative<grammar::Heading>(item.form) && headed)
        diagnostics_.add("parts-3", item.head, "policy, part and pack stand only on a file's first line.",
                         "take this line out, or move what follows to a file of its own");
      if (is_of_players(item) && !players_told) {
        diagnostics_.add("parts-7", item.head, "Sample players stand in a file of their own.",
                         "move them to a file that ends in .players and begins with: players of \"…\"");
        players_told = true;
      }
      if (!file.pack) {
        if (std::holds_alternative<grammar::ReliesOn>(item.form))
          diagnostics_.add("parts-4", item.head, "Only a pack says what it relies on.", "take this line out");
        continue;
      }
      const bool may =
          std::holds_alternative<grammar::Rule>(item.form) || std::holds_alternative<grammar::ReliesOn>(item.form) ||
          std::holds_alternative<grammar::MakeSure>(item.form) || std::holds_alternative<grammar::Chart>(item.form) ||
          std::holds_alternative<grammar::AlongWith>(item.form) ||
          std::holds_alternative<grammar::Heading>(item.form) || is_of_players(item);  // told elsewhere
      if (!may)
        diagnostics_.add("parts-4", item.head, "A pack of house rules holds only rules, relies on and make sure.",
                         "leave this to the shop's own policy");
    }
  }

  void bring_in(const grammar::AlongWith& along, bool from_pack) {
    const auto& path = along.file.text;
    if (from_pack) {
      diagnostics_.add("parts-4", along.file.span, "A pack brings in no other files.",
                       "bring it in from the policy itself");
      return;
    }
    const bool itself = files.front().tree.source->name() == path;
    auto found = text_beside(
        along.file,
        itself ? fmt::format("'{}' brings in itself.", path) : fmt::format("'{}' is brought in twice.", path),
        itself ? "leave this line out" : "keep one of the two lines");
    if (found) add(path, std::move(*found), std::nullopt, along.when, along.file.span);
  }

  // The text of a file in the policy's folder. Nothing where it can't be had, which is told; `twice` and `hint` are of
  // one that is part of the policy already.
  std::optional<std::string> text_beside(const grammar::Text& file, std::string twice, const char* hint) {
    const auto& path = file.text;
    const auto refuse = [&](const char* code, std::string message, const char* to_try) {
      diagnostics_.add(code, file.span, std::move(message), to_try);
      return std::nullopt;
    };
    const fs::path written(path);
    const bool leaves = written.is_absolute() ||
                        std::any_of(written.begin(), written.end(), [](const fs::path& part) { return part == ".."; });
    if (path.empty() || leaves)
      return refuse("parts-2", fmt::format("'{}' does not lie in the policy's own folder.", path),
                    "copy the file into the policy's folder and name it from there");
    if (!seen_.insert(written.lexically_normal().string()).second) return refuse("parts-8", std::move(twice), hint);
    if (files.size() >= most_files)
      return refuse("limits-9", fmt::format("The policy has more than {} files.", most_files), "join some of them");
    auto found = read_file_(path);
    if (!found)
      return refuse("parts-1", fmt::format("'{}' can't be read: {}.", path, found.problem().message),
                    path.find('\\') != std::string::npos
                        ? "write / between a folder and its file, as in: \"house_rules/junior.fitting\""
                        : "check the name; it is looked for from the policy's own folder");
    return std::move(*found);
  }

  // Reads the spreadsheet a chart stands in, and its grid into the chart; null where it can't be had, which is told.
  std::shared_ptr<const grammar::Source> sheet_of(grammar::Chart& chart) {
    const auto& file = *chart.sheet;
    if (grammar::lower_case(fs::path(file.text).extension().string()) != ".csv") {
      diagnostics_.add("parts-9", file.span, "A chart's spreadsheet is a CSV file: its name ends in .csv.",
                       "save the sheet as CSV in the policy's folder, and name that file");
      return nullptr;
    }
    auto text =
        text_beside(file, fmt::format("The policy has '{}' already, and a spreadsheet holds one chart.", file.text),
                    "give this chart a file of its own");
    if (!text) return nullptr;
    auto refused = grammar::refuse_text(*text);
    if (refused) text->resize(std::min<std::size_t>(refused->where.begin, 1u << 20));  // as for a policy's own text
    auto sheet = std::make_shared<const grammar::Source>(file.text, std::move(*text), grammar::Source::Shape::sheet);
    if (refused) {
      const auto end = static_cast<std::uint32_t>(sheet->text().size());
      refused->where = {sheet.get(), end, end};
      refused->hint = refused->code == "file-2" ? "split the chart over several, each with a spreadsheet of its own"
                                                : "save the sheet from the spreadsheet program as CSV, UTF-8";
      diagnostics_.add(std::move(*refused));
    } else if (chart.across || chart.down || !chart.rows.empty()) {
      const auto& here = chart.across ? chart.across->span : chart.down ? chart.down->span : chart.rows.front().span;
      diagnostics_
          .add("charts-12", here, fmt::format("This chart stands in '{}', so it has no grid here.", file.text),
               "take across, down and the rows out here; or take out from and the file's name")
          .notes.push_back({"the spreadsheet", file.span});
    } else {
      grammar::read_sheet(*sheet, chart, diagnostics_);
    }
    return sheet;
  }

  void keep_for_spans(std::shared_ptr<const grammar::Source> source) {
    PolicyFile file;
    file.tree.source = std::move(source);
    files.push_back(std::move(file));
  }

  const ReadFile& read_file_;
  grammar::Diagnostics& diagnostics_;
  std::set<std::string> seen_;
  std::vector<std::shared_ptr<const grammar::Source>> unread_;
};

}  // namespace

std::vector<PolicyFile> gather_files(const std::string& name, std::string text, const ReadFile& read_file,
                                     grammar::Diagnostics& diagnostics) {
  Gathering gathering(read_file, diagnostics);
  gathering.own(name, std::move(text));
  return std::move(gathering.files);
}

namespace {

Problem unread(const char* clause) { return {"file-5", clause, "check the file's name"}; }

}  // namespace

Result<std::string> read_text_file(const fs::path& path, std::size_t most) {
  std::error_code error;
  const auto status = fs::status(path, error);
  if (!fs::exists(status)) return unread("there is no such file");
  if (fs::is_directory(status)) return unread("it is a folder");
  if (!fs::is_regular_file(status) && !fs::is_fifo(status) && !fs::is_character_file(status))
    return unread("it is not a file of text");
  std::ifstream in(path, std::ios::binary);
  if (!in) return unread("it may not be opened");
  std::string text;
  std::array<char, 1u << 16> part;
  while (in && text.size() <= most) {
    in.read(part.data(), static_cast<std::streamsize>(std::min(part.size(), most + 1 - text.size())));
    text.append(part.data(), static_cast<std::size_t>(in.gcount()));
  }
  if (in.bad()) return unread("it may not be read");
  return text;
}

Compiled compile_file(const fs::path& path) { return compile_file(path, read_text_file(path)); }

Compiled compile_file(const fs::path& path, Result<std::string> own) {
  if (!own) {
    auto problem = own.problem();
    problem.message = fmt::format("'{}' can't be read: {}.", path.string(), problem.message);
    Compiled compiled;
    compiled.diagnostics.push_back(std::move(problem));
    return compiled;
  }
  std::error_code error;
  const auto folder = fs::weakly_canonical(path, error).parent_path();
  const ReadFile read_file = [&](const std::string& name) -> Result<std::string> {
    const auto target = fs::weakly_canonical(folder / name, error);
    const auto [end, unused] = std::mismatch(folder.begin(), folder.end(), target.begin(), target.end());
    if (end != folder.end()) return unread("it leads out of the policy's folder");
    // Reading a pipe could block: only the policy's own path may name one.
    const auto status = fs::status(target, error);
    if (fs::exists(status) && !fs::is_directory(status) && !fs::is_regular_file(status))
      return unread("it is not a file of text");
    return read_text_file(target);
  };
  return compile(path.filename().string(), std::move(*own), read_file);
}

}  // namespace lacestay::compiler
