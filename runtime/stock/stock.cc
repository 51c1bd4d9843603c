#include "runtime/stock/stock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <map>
#include <numeric>
#include <unordered_map>

#include "compiler/values/money.hpp"
#include "compiler/values/names.hpp"
#include "grammar/read/sheet.hpp"
#include "grammar/text/csv.hpp"
#include "grammar/text/letters.hpp"
#include "grammar/text/plain_text.hpp"
#include "grammar/tree/units.hpp"
#include "runtime/base/table_words.hpp"
#include "runtime/stock/cells.hpp"

namespace lacestay::runtime {

namespace fs = std::filesystem;
using compiler::Requirement;
using compiler::Scale;
using grammar::Span;

namespace {

// The columns every stock file may have, beside those of its piece: in the order of `stock_columns`.
enum class Fixed : std::uint8_t {
  certified_until,
  condition,
  goes_with,
  item,
  made,
  make,
  model,
  on_hand,
  piece,
  price
};
const std::map<std::string, Fixed> fixed_columns = [] {
  std::map<std::string, Fixed> columns;
  for (std::size_t i = 0; i < compiler::stock_columns.size(); ++i)
    columns.emplace(compiler::stock_columns[i], static_cast<Fixed>(i));
  return columns;
}();

// What an accept line may ask of an item beside its properties, and the column that tells it.
constexpr std::array columns_asked_for = {std::pair(Requirement::Kind::in_date, Fixed::certified_until),
                                          std::pair(Requirement::Kind::condition_new, Fixed::condition),
                                          std::pair(Requirement::Kind::made, Fixed::made)};

// A larger count on hand is taken for a typing error.
constexpr std::int64_t most_on_hand = 1'000'000;
constexpr auto a_count = "a whole number from 0 up, as in: 3";

Scale scale_of(Scale::Kind kind, compiler::Dimension dimension) {
  Scale scale;
  scale.kind = kind;
  scale.dimension = dimension;
  return scale;
}

Scale money_scale(const compiler::Policy& policy) {
  auto scale = scale_of(Scale::Kind::amount, compiler::Dimension::money);
  scale.shown = {{std::nullopt, policy.currency}};
  scale.money_digits = grammar::currency_digits(policy.currency).value_or(2);
  return scale;
}

class Reading {
 public:
  Reading(const compiler::Policy& policy, Stock& stock) : policy_(policy), stock_(stock) {
    price_ = money_scale(policy);
    count_ = scale_of(Scale::Kind::amount, compiler::Dimension::number);
    day_ = scale_of(Scale::Kind::day, compiler::Dimension::day);
    condition_ = scale_of(Scale::Kind::choice, compiler::Dimension::number);
    condition_.members = {"new", "used"};
    stock_.covered = covered_columns(policy);
    for (std::uint32_t piece = 0; piece < policy.pieces.size(); ++piece)
      asks_age_ |= looks_at(piece, Requirement::Kind::made);
  }

  void file(const std::string& name, std::string text) {
    file_ = static_cast<std::uint32_t>(stock_.files.size());
    stock_.files.push_back({name, std::make_shared<grammar::Source>(name, std::move(text)), 0, 0, {}});
    const auto& source = *stock_.files.back().source;
    if (auto refused = grammar::refuse_text(source.text(), largest_stock_file)) {
      refused->where.source = &source;
      problems().add(std::move(*refused));
      return;
    }
    const auto before = problems().size();
    const auto table = grammar::read_csv(source, problems());
    stock_.files.back().set_aside = table.set_aside;
    stock_.files.back().rows = table.rows.size() + table.set_aside;
    if (table.heading.empty()) {
      if (problems().size() == before)
        say("stock-3", {&source, 0, 0}, "This file is empty.",
            "give it a heading such as: item,make,model,price,on hand");
      return;
    }
    if (!columns(table, name)) {
      stock_.files.back().set_aside = stock_.files.back().rows;
      return;
    }
    for (const auto& row : table.rows)
      if (!item(row)) ++stock_.files.back().set_aside;
  }

  // By piece and number; of a number that stands twice neither row is used, for nobody can tell which is right.
  void finish() {
    auto& items = stock_.items;
    std::unordered_map<std::string_view, std::size_t> seen;
    std::vector<bool> twice(items.size());
    for (std::size_t i = 0; i < items.size(); ++i) {
      const auto [first, fresh] = seen.try_emplace(items[i].number, i);
      if (fresh) continue;
      auto& told = problems().add("stock-7", places_[i], fmt::format("Item {} stands twice.", items[i].number),
                                  "give each item one row, with all that is on hand; none of its rows is used");
      told.notes.push_back({"the first one", places_[first->second]});
      for (const auto each : {i, first->second}) {
        if (!twice[each]) ++stock_.files[items[each].file].set_aside;
        twice[each] = true;
      }
    }
    std::size_t kept = 0;
    for (std::size_t i = 0; i < items.size(); ++i)
      if (!twice[i]) {
        if (kept != i) items[kept] = std::move(items[i]);
        ++kept;
      }
    items.resize(kept);
    std::sort(items.begin(), items.end(), [](const StockItem& a, const StockItem& b) {
      return a.piece != b.piece ? a.piece < b.piece : a.number < b.number;
    });
    stock_.first.assign(policy_.pieces.size() + 1, 0);
    for (const auto& each : items) ++stock_.first[each.piece + 1];
    std::partial_sum(stock_.first.begin(), stock_.first.end(), stock_.first.begin());
  }

 private:
  grammar::Diagnostics& problems() { return stock_.problems; }
  void say(const char* code, const Span& span, std::string message, std::string hint) {
    problems().add(code, span, std::move(message), std::move(hint));
  }

  // What a column means for one piece: a property of it, or a detail its `accept` line covers.
  struct Place {
    bool covers = false;
    std::size_t index = 0;  // among the piece's properties, or those covered
    CellReader* reader = nullptr;
  };
  struct Column {
    std::optional<Fixed> fixed;
    std::map<std::uint32_t, Place> of;  // by piece
  };

  CellReader* reader(const Scale& scale, const std::string& unit) {
    readers_.push_back(std::make_unique<CellReader>(scale, unit, policy_.currency));
    return readers_.back().get();
  }

  // What some `accept` line of the piece looks at, and what some rule binds items by: a blank cell meets nothing of
  // that.
  [[nodiscard]] bool looked_at(std::uint32_t piece, std::uint32_t property) const {
    const auto& lines = policy_.shop.accepts[piece];
    if (lines.empty()) return false;
    const auto& rows = policy_.tables.tables[policy_.tables.property_table(property)].rows;
    return std::any_of(rows.begin(), rows.end(), [](const auto& row) { return row.binds; }) ||
           some_line_asks(piece, [&](const auto& need) {
             const bool own = need.kind <= Requirement::Kind::within || need.kind == Requirement::Kind::is;
             return (own && need.property == property) || need.once_cut_to == property;
           });
  }
  template <typename Asks>
  [[nodiscard]] bool some_line_asks(std::uint32_t piece, Asks asks) const {
    const auto& lines = policy_.shop.accepts[piece];
    return std::any_of(lines.begin(), lines.end(), [&](const auto& line) {
      return std::any_of(line.requirements.begin(), line.requirements.end(), asks);
    });
  }
  [[nodiscard]] bool looks_at(std::uint32_t piece, Requirement::Kind kind) const {
    return some_line_asks(piece, [&](const auto& need) { return need.kind == kind; });
  }

  // Else a column so called is the shop's own, and may hold anything.
  [[nodiscard]] bool reads(Fixed fixed) const {
    return (fixed != Fixed::made || asks_age_) && (fixed != Fixed::goes_with || !policy_.shop.links.empty());
  }
  [[nodiscard]] bool goes_with_another(std::uint32_t piece) const {
    const auto& links = policy_.shop.links;
    return std::any_of(links.begin(), links.end(), [&](const auto& link) { return link.piece == piece; });
  }

  bool columns(const grammar::CsvTable& table, const std::string& name) {
    columns_.clear();
    readers_.clear();
    piece_.reset();
    const auto stem = plain_name(fs::path(name).stem().string());
    for (std::uint32_t i = 0; i < policy_.pieces.size(); ++i)
      if (policy_.pieces[i].name == stem) piece_ = i;
    std::vector<Heading> headings;
    for (const auto& cell : table.heading) headings.push_back(read_heading(cell.text));
    const bool names_pieces =
        std::any_of(headings.begin(), headings.end(), [](const auto& h) { return h.name == "piece"; });
    if (names_pieces) piece_.reset();
    if (!piece_ && !names_pieces) {
      say("stock-2", table.heading.front().span,
          fmt::format("'{}' is no piece of the policy, and no column says which piece each row is.", stem),
          "name the file after its piece, such as skates.csv, or give it a column called piece");
      return false;
    }
    bool good = true;
    for (std::size_t i = 0; i < headings.size(); ++i)
      good &= column(headings[i], table.heading[i].span) && alone(i, table);
    if (!good) return false;  // what is missing may be there, misspelt
    for (const auto fixed : {Fixed::item, Fixed::price, Fixed::on_hand})
      if (!has(fixed)) good = missing(name_of(fixed), table);
    if (piece_) good &= has_all_looked_at(table);
    return good;
  }

  bool column(const Heading& heading, const Span& span) {
    Column made;
    if (const auto fixed = fixed_columns.find(heading.name); fixed != fixed_columns.end() && reads(fixed->second)) {
      made.fixed = fixed->second;
    } else {
      std::vector<std::string> known;
      for (const auto& [name, which] : fixed_columns)
        if (reads(which)) known.push_back(name);
      for (std::uint32_t piece = 0; piece < policy_.pieces.size(); ++piece) {
        if (piece_ && *piece_ != piece) continue;
        const auto& text = policy_.pieces[piece];
        for (std::uint32_t k = 0; k < text.properties; ++k) {
          const auto& property = policy_.properties[text.first_property + k];
          known.push_back(property.name);
          if (property.name == heading.name || text.name + "_" + property.name == heading.name)
            made.of[piece] = {false, k, reader(property.scale, heading.unit)};
        }
        const auto& covered = stock_.covered[piece];
        for (std::size_t k = 0; k < covered.size(); ++k) {
          known.push_back(policy_.name_of(covered[k]));
          if (known.back() == heading.name)
            made.of[piece] = {true, k, reader(policy_.scale_of(covered[k]), heading.unit)};
        }
      }
      if (made.of.empty()) {
        const auto meant = compiler::nearest_name(heading.name, known);
        const bool own = heading.name.empty() || fixed_columns.count(heading.name) != 0;
        if (!meant.empty() && !own) {
          say("stock-8", span, fmt::format("No column is called '{}'.", span.text()),
              fmt::format("perhaps {} is meant", meant));
          columns_.push_back(std::move(made));
          return false;
        }
        if (!heading.name.empty()) stock_.files.back().passed_over.push_back(std::string(span.text()));
      }
    }
    columns_.push_back(std::move(made));
    return true;
  }

  // No column before this one means the same; else nobody can tell which is right.
  bool alone(std::size_t at, const grammar::CsvTable& table) {
    const auto& made = columns_[at];
    for (std::size_t i = 0; i < at; ++i) {
      const bool same = made.fixed
                            ? columns_[i].fixed == made.fixed
                            : std::any_of(made.of.begin(), made.of.end(), [&](const auto& meant) {
                                const auto other = columns_[i].of.find(meant.first);
                                return other != columns_[i].of.end() && other->second.covers == meant.second.covers &&
                                       other->second.index == meant.second.index;
                              });
      if (!same) continue;
      if (table.heading[i].text == table.heading[at].text) return false;  // the reading of the table said so
      problems()
          .add("stock-8", table.heading[at].span,
               fmt::format("Two columns mean the same: '{}' and '{}'.", table.heading[i].text, table.heading[at].text),
               "keep the one that is right")
          .notes.push_back({"the first one", table.heading[i].span});
      return false;
    }
    return true;
  }

  bool missing(const std::string& name, const grammar::CsvTable& table) {
    say("stock-3", join(table.heading.front().span, table.heading.back().span),
        fmt::format("The column '{}' is missing.", name), "add it to the heading, and fill it in for every item");
    return false;
  }
  [[nodiscard]] bool has(Fixed fixed) const {
    return std::any_of(columns_.begin(), columns_.end(), [&](const auto& column) { return column.fixed == fixed; });
  }
  // As a person writes it in a heading.
  static std::string name_of(Fixed fixed) {
    auto name = std::find_if(fixed_columns.begin(), fixed_columns.end(), [&](const auto& each) {
                  return each.second == fixed;
                })->first;
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
  }
  bool has_all_looked_at(const grammar::CsvTable& table) {
    const auto& text = policy_.pieces[*piece_];
    const auto there = [&](bool covers, std::size_t index) {
      return std::any_of(columns_.begin(), columns_.end(), [&](const auto& column) {
        const auto at = column.of.find(*piece_);
        return at != column.of.end() && at->second.covers == covers && at->second.index == index;
      });
    };
    bool good = true;
    for (std::uint32_t k = 0; k < text.properties; ++k) {
      const auto property = text.first_property + k;
      if (looked_at(*piece_, property) && !there(false, k)) good = missing(policy_.properties[property].name, table);
    }
    for (std::size_t k = 0; k < stock_.covered[*piece_].size(); ++k)
      if (!there(true, k)) good = missing(policy_.name_of(stock_.covered[*piece_][k]), table);
    for (const auto& [kind, fixed] : columns_asked_for)
      if (looks_at(*piece_, kind) && !has(fixed)) good = missing(name_of(fixed), table);
    if (goes_with_another(*piece_) && !has(Fixed::goes_with)) good = missing(name_of(Fixed::goes_with), table);
    return good;
  }

  // The cell, read as its column says; says what is wrong with it and returns nothing otherwise.
  std::optional<ItemValue> value(const grammar::CsvCell& cell, const std::string& name, CellReader& reader) {
    const auto& read = reader.read(cell.text);
    if (!read)
      say("stock-5", cell.span, fmt::format("'{}' is no {}{}.", cell.text, name, reader.wants()),
          reader.no_money() ? "add a line to the policy, such as: money GBP"
                            : fmt::format("write {}", reader.accepts()));
    return read;
  }
  // A cell of a column that every item fills in.
  bool blank(const grammar::CsvCell& cell, const std::string& name, const std::string& accepts) {
    if (cell.text.find_first_not_of(' ') != std::string::npos) return false;
    say("stock-4", cell.span, fmt::format("The item's {} is blank.", name), fmt::format("fill it in: {}", accepts));
    return true;
  }

  bool item(const grammar::CsvRow& row) {
    StockItem made;
    made.file = file_;
    made.line = row.line();
    if (!fixed_cells(row, made) || !condition_told(row, made)) return false;
    const auto& text = policy_.pieces[made.piece];
    made.values.resize(text.properties);
    made.covers.resize(stock_.covered[made.piece].size());
    bool good = true;
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      const auto at = columns_[i].of.find(made.piece);
      if (at == columns_[i].of.end()) continue;
      const auto& place = at->second;
      const auto property = text.first_property + static_cast<std::uint32_t>(place.index);
      const auto& name =
          place.covers ? policy_.name_of(stock_.covered[made.piece][place.index]) : policy_.properties[property].name;
      if ((place.covers || looked_at(made.piece, property)) && blank(row.cells[i], name, place.reader->accepts())) {
        good = false;
        continue;
      }
      const auto read = value(row.cells[i], name, *place.reader);
      good &= read && (place.covers || can_be(row.cells[i], property, *read));
      if (read) (place.covers ? made.covers : made.values)[place.index] = *read;
    }
    if (!good || !all_given(row, made)) return false;
    places_.push_back(number_);
    stock_.items.push_back(std::move(made));
    return true;
  }

  // An item is of one grade, and is what its property is declared to be. In form 1 it did not have to be.
  bool can_be(const grammar::CsvCell& cell, std::uint32_t property, const ItemValue& read) {
    const auto& text = policy_.properties[property];
    if (!read.known || !policy_.tables.safety_reaches_items) return true;
    if (text.scale.has_members()) {
      if (text.scale.kind != Scale::Kind::grades || (read.members & (read.members - 1)) == 0) return true;
      say("stock-5", cell.span, fmt::format("'{}' is more than one {}, and an item is of one.", cell.text, text.name),
          "write the grade it is; an item that comes in several is a row for each");
      return false;
    }
    const auto last = std::int64_t{policy_.tables.answers[property].steps} - 1;
    if (text.at(0) <= read.low && read.high <= text.at(last)) return true;
    say("stock-5", cell.span,
        fmt::format("'{}' lies outside what the policy declares for {}: {} to {}.", cell.text, text.name,
                    text.write(0, 0), text.write(last, last)),
        "mend the cell, or what the policy declares");
    return false;
  }

  // In a file of several pieces a column may be missing for one of them alone.
  bool all_given(const grammar::CsvRow& row, const StockItem& made) {
    const auto not_given = [&](const std::string& name) {
      say("stock-4", row.cells.front().span, fmt::format("The item's {} is not given.", name), "add such a column");
      return false;
    };
    const auto& text = policy_.pieces[made.piece];
    for (std::uint32_t k = 0; k < text.properties; ++k)
      if (!made.values[k].known && looked_at(made.piece, text.first_property + k))
        return not_given(policy_.properties[text.first_property + k].name);
    for (std::size_t k = 0; k < made.covers.size(); ++k)
      if (!made.covers[k].known) return not_given(policy_.name_of(stock_.covered[made.piece][k]));
    for (const auto& [kind, fixed] : columns_asked_for)
      if (looks_at(made.piece, kind) && !has(fixed)) return not_given(name_of(fixed));
    if (goes_with_another(made.piece) && !has(Fixed::goes_with)) return not_given(name_of(Fixed::goes_with));
    return true;
  }

  bool fixed_cells(const grammar::CsvRow& row, StockItem& made) {
    bool good = true;
    std::optional<std::uint32_t> piece = piece_;
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      if (!columns_[i].fixed) continue;
      const auto& cell = row.cells[i];
      switch (*columns_[i].fixed) {
        case Fixed::item:
          good &= !blank(cell, "number", "the one it is ordered by, or one of your own");
          made.number = cell.text;
          number_ = cell.span;
          break;
        case Fixed::goes_with: made.goes_with = cell.text; break;
        case Fixed::make: made.make = cell.text; break;
        case Fixed::model: made.model = cell.text; break;
        case Fixed::piece: piece = piece_named(cell); break;
        case Fixed::price: good &= price(cell, made); break;
        case Fixed::on_hand: good &= on_hand(cell, made); break;
        case Fixed::certified_until:
          if (const auto day = value(cell, "day", day_reader_); !day)
            good = false;
          else if (day->known)
            made.certified_until = day->low;
          break;
        case Fixed::made:
          if (const auto day = value(cell, "day", day_reader_); !day)
            good = false;
          else if (day->known)
            made.made = day->low;
          break;
        case Fixed::condition:
          if (const auto condition = value(cell, "condition", condition_reader_); !condition)
            good = false;
          else
            made.used = (condition->members & 2) != 0;
          break;
      }
    }
    made.piece = piece.value_or(0);
    return good && piece.has_value();
  }

  // Where an item must be new (protection, or an accept line that says so), or is asked other things if it is, an empty
  // condition is not taken for new.
  bool condition_told(const grammar::CsvRow& row, const StockItem& made) {
    const bool looked_at = some_line_asks(made.piece, [](const Requirement& need) {
      return need.kind == Requirement::Kind::condition_new || need.goods != Requirement::Goods::all;
    });
    if (!policy_.shop.protection[made.piece] && !looked_at) return true;
    for (std::size_t i = 0; i < columns_.size(); ++i)
      if (columns_[i].fixed == Fixed::condition && blank(row.cells[i], "condition", condition_reader_.accepts()))
        return false;
    return true;
  }

  std::optional<std::uint32_t> piece_named(const grammar::CsvCell& cell) {
    const auto name = plain_name(cell.text);
    std::vector<std::string> known;
    for (std::uint32_t i = 0; i < policy_.pieces.size(); ++i) {
      if (policy_.pieces[i].name == name) return i;
      known.push_back(policy_.pieces[i].name);
    }
    const auto meant = compiler::nearest_name(name, known);
    say("stock-5", cell.span, fmt::format("'{}' is no piece of the policy.", cell.text),
        meant.empty() ? "write one of " + compiler::listed(known) : fmt::format("perhaps {} is meant", meant));
    return std::nullopt;
  }

  bool price(const grammar::CsvCell& cell, StockItem& made) {
    if (blank(cell, "price", price_reader_.accepts())) return false;
    const auto read = value(cell, "price", price_reader_);
    if (!read) return false;
    made.price = read->low;
    if (read->low == read->high && read->low > 0 && read->low <= largest_sum) return true;
    say("stock-6", cell.span,
        read->low != read->high ? "A price is one sum."
        : read->low == 0        ? "An item for nothing is no item to quote."
                                : "No till takes such a price.",
        read->low == 0 ? "write what it costs; what is given away goes into a deal"
                       : "write one sum, of at most ten million");
    return false;
  }

  bool on_hand(const grammar::CsvCell& cell, StockItem& made) {
    if (blank(cell, "count on hand", a_count)) return false;
    const auto& read = count_reader_.read(cell.text);
    constexpr auto one = compiler::ticks_per_one;
    if (read && read->low == read->high && read->low % one == 0 && read->low >= 0 && read->low / one <= most_on_hand) {
      made.on_hand = read->low / one;
      return true;
    }
    say("stock-6", cell.span, fmt::format("'{}' is no count of what is on hand.", cell.text),
        fmt::format("write {}", a_count));
    return false;
  }

  const compiler::Policy& policy_;
  Stock& stock_;
  Scale price_, count_, day_, condition_;
  CellReader price_reader_{price_, "", policy_.currency}, count_reader_{count_, "", ""}, day_reader_{day_, "", ""},
      condition_reader_{condition_, "", ""};
  bool asks_age_ = false;  // the policy asks how old items are
  std::uint32_t file_ = 0;
  std::optional<std::uint32_t> piece_;  // of every row of the file now read
  std::vector<Column> columns_;
  std::vector<std::unique_ptr<CellReader>> readers_;
  Span number_;               // of the item now read
  std::vector<Span> places_;  // of each item's, as they are read
};

}  // namespace

std::optional<std::int64_t> money_from(const compiler::Policy& policy, const std::string& text) {
  const auto scale = money_scale(policy);
  const auto read = CellReader(scale, "", policy.currency).read(text);
  return read && read->known && read->low == read->high ? std::optional(read->low) : std::nullopt;
}

std::vector<std::vector<std::uint16_t>> covered_columns(const compiler::Policy& policy) {
  std::vector<std::vector<std::uint16_t>> covered(policy.pieces.size());
  for (std::size_t piece = 0; piece < policy.shop.accepts.size(); ++piece)
    for (const auto& line : policy.shop.accepts[piece])
      for (const auto& need : line.requirements) {
        if (need.kind != Requirement::Kind::covers) continue;
        // What one line says twice has been kept twice in daybooks.
        auto& own = covered[piece];
        const bool of_another = &line != &policy.shop.accepts[piece].front();
        if (!of_another || std::find(own.begin(), own.end(), need.column) == own.end()) own.push_back(need.column);
      }
  return covered;
}

namespace {

// Whether a file of the stock's folder is the spreadsheet of one of the policy's charts: named like it, and a chart.
bool is_chart(const compiler::Policy& policy, const fs::path& file) {
  const auto named = [&](const auto& source) {
    return source->is_sheet() && fs::path(source->name()).filename() == file.filename();
  };
  if (std::none_of(policy.sources.begin(), policy.sources.end(), named)) return false;
  std::array<char, 256> beginning{};
  std::ifstream in(file, std::ios::binary);
  in.read(beginning.data(), beginning.size());
  return grammar::begins_as_sheet({beginning.data(), static_cast<std::size_t>(in.gcount())});
}

}  // namespace

Stock read_stock(const compiler::Policy& policy, const fs::path& folder, const std::vector<std::string>& passed_over) {
  Stock stock;
  stock.folder = folder;
  Reading reading(policy, stock);
  std::error_code error, no_matter;  // what can't be opened is told below
  std::vector<std::string> names;
  fs::directory_iterator at(folder, error);
  const bool opened = !error;
  for (const fs::directory_iterator end; !error && at != end; at.increment(error)) {
    const auto name = at->path().filename().string();
    const bool hidden = !name.empty() && name.front() == '.';
    const bool table = grammar::lower_case(at->path().extension().string()) == ".csv";
    if (!hidden && table && !at->is_directory(no_matter) &&
        std::find(passed_over.begin(), passed_over.end(), name) == passed_over.end() && !is_chart(policy, at->path()))
      names.push_back(name);
  }
  std::sort(names.begin(), names.end());
  const auto refuse = [&](const std::string& what, const std::string& why, const char* hint) {
    stock.problems.add("stock-1", {}, fmt::format("'{}' {}", what, why), hint);
  };
  constexpr const char* see_to_the_disk = "see to the disk, then try again";
  if (!opened) {
    refuse(folder.string(), "can't be read: it is no folder that may be opened.",
           "name the folder the stock files lie in");
  } else if (error) {
    names.clear();  // what is best in a part of the shop is not the best there is
    refuse(folder.string(), fmt::format("can't be read to its end: {}.", error.message()), see_to_the_disk);
  } else if (names.empty()) {
    refuse(folder.string(), "holds no stock: no file in it ends in .csv.",
           "save the shop's spreadsheet there as CSV, one file a piece, such as skates.csv");
  }
  for (const auto& name : names) {
    std::ifstream in(folder / name, std::ios::binary | std::ios::ate);
    if (!in) {
      refuse((folder / name).string(), "may not be opened.", "see that the file may be read");
      continue;
    }
    // One byte past the limit is enough for the reading to refuse it.
    const auto size =
        std::min(static_cast<std::size_t>(std::max<std::streamoff>(in.tellg(), 0)), largest_stock_file + 1);
    std::string text(size, '\0');
    in.seekg(0);
    in.read(text.data(), static_cast<std::streamsize>(size));
    if (in.bad()) {
      refuse((folder / name).string(), "can't be read to its end.", see_to_the_disk);
      continue;
    }
    text.resize(static_cast<std::size_t>(in.gcount()));
    reading.file(name, std::move(text));
  }
  reading.finish();
  return stock;
}

}  // namespace lacestay::runtime
