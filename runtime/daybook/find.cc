// Reading the daybook: one entry, and which entries there are of something.
#include <algorithm>
#include <functional>
#include <iterator>

#include "runtime/daybook/inside.hpp"

namespace lacestay::runtime {

namespace {

Entry read(const Statement& row) {
  return {row.number(0),      std::string(row.text(1)), entry_kind(row.text(2)).value_or(EntryKind::advice),
          row.text_if_any(3), row.text_if_any(4),       row.is_null(5) ? std::nullopt : std::optional(row.number(5)),
          row.text_if_any(6), std::string(row.text(7))};
}

bool holds(std::string_view bits, std::int64_t id) {
  const auto place = static_cast<std::size_t>(id - 1);
  return place / 8 < bits.size() && (static_cast<unsigned char>(bits[place / 8]) >> place % 8 & 1) != 0;
}

void keep_shared(std::vector<std::int64_t>& found, const std::vector<std::int64_t>& other) {
  std::vector<std::int64_t> both;
  std::set_intersection(found.begin(), found.end(), other.begin(), other.end(), std::back_inserter(both),
                        std::greater<>());
  found = std::move(both);
}

}  // namespace

std::vector<std::int64_t> Daybook::numbers(Statement& asked) {
  std::vector<std::int64_t> all;
  while (asked.next()) all.push_back(asked.number(0));
  return all;
}

std::int64_t Daybook::entries() {
  return in_words(path_, [&] { return database_->number("SELECT count(*) FROM entry"); });
}

std::optional<Entry> Daybook::entry(std::int64_t number) {
  return in_words(path_, [&]() -> std::optional<Entry> {
    auto& asked = prepared_->entry.with(number);
    if (!asked.next()) return std::nullopt;
    auto found = read(asked);
    asked.end();
    return found;
  });
}

std::optional<Entry> Daybook::entry_of_hash(const std::string& beginning) {
  const auto all = in_words(path_, [&] {
    // All hashes with this beginning sort between it and it with a "g" appended, which is past every hexadecimal digit.
    auto asked = database_->statement("SELECT number FROM entry WHERE hash >= ? AND hash < ? LIMIT 2");
    return numbers(asked.with(beginning).with(beginning + "g"));
  });
  return all.size() == 1 ? entry(all.front()) : std::nullopt;
}

std::vector<std::int64_t> Daybook::find(const Sought& sought) {
  return in_words(path_, [&] {
    // One snapshot for all the queries.
    Transaction look(*database_, Transaction::Kind::read);
    const bool by_day = sought.from || sought.before, by_name = !sought.names.empty();
    std::vector<std::int64_t> found;
    if (sought.item) {
      auto asked = database_->statement("SELECT entry FROM item WHERE number = ? ORDER BY entry DESC");
      found = numbers(asked.with(*sought.item));
    } else if (!by_day && !by_name) {
      auto asked = database_->statement("SELECT number FROM entry ORDER BY number DESC LIMIT ?");
      return numbers(asked.with(sought.most ? static_cast<std::int64_t>(*sought.most) : -1));
    }
    bool narrowed = sought.item.has_value();
    const auto also = [&](std::vector<std::int64_t> other) {
      if (narrowed)
        keep_shared(found, other);
      else
        found = std::move(other);
      narrowed = true;
    };
    if (by_day) {
      auto asked = database_->statement("SELECT number FROM entry WHERE at >= ? AND at < ?");
      // Moments are all written in one form, so they sort as texts; "U" sorts after every year.
      auto those = numbers(
          asked.with(sought.from ? written(*sought.from) : "").with(sought.before ? written(*sought.before) : "U"));
      std::sort(those.begin(), those.end(), std::greater<>());
      also(std::move(those));
    }
    if (by_name) {
      std::vector<std::int64_t> ids;
      auto& known = prepared_->name;
      for (const auto& name : sought.names) {
        const bool there = known.with(name).next();
        if (there) ids.push_back(known.number(0));
        known.end();
        if (!there) return std::vector<std::int64_t>{};
      }
      std::vector<std::int64_t> those;
      auto asked = database_->statement("SELECT entry, names FROM mention ORDER BY entry DESC");
      while (asked.next()) {
        const auto bits = asked.bytes(1);
        if (std::all_of(ids.begin(), ids.end(), [&](auto id) { return holds(bits, id); }))
          those.push_back(asked.number(0));
        if (!narrowed && sought.most && those.size() == *sought.most) break;
      }
      also(std::move(those));
    }
    if (sought.most && found.size() > *sought.most) found.resize(*sought.most);
    return found;
  });
}

std::vector<std::int64_t> Daybook::about(std::int64_t number) {
  return in_words(path_, [&] {
    auto asked = database_->statement("SELECT number FROM entry WHERE about = ? ORDER BY number");
    return numbers(asked.with(number));
  });
}

std::vector<std::string> Daybook::names() {
  return in_words(path_, [&] {
    std::vector<std::string> all;
    auto asked = database_->statement("SELECT text FROM name ORDER BY text");
    while (asked.next()) all.emplace_back(asked.text(0));
    return all;
  });
}

std::optional<std::string> Daybook::shelf(const std::string& sha256) {
  return in_words(path_, [&]() -> std::optional<std::string> {
    auto asked = database_->statement("SELECT items FROM shelf WHERE sha256 = ?");
    if (!asked.with(sha256).next()) return std::nullopt;
    return std::string(asked.text(0));
  });
}

}  // namespace lacestay::runtime
