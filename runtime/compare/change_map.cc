#include "runtime/compare/change_map.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "runtime/base/html_parts.hpp"
#include "runtime/compare/comparison.hpp"

namespace lacestay::runtime {

using compiler::Box;
using compiler::ColumnId;
using compiler::Places;
using compiler::Policy;

namespace {

// How much is drawn around the edges: of how far they lie apart, and at least of the whole detail.
constexpr double margin = 0.8, least_margin = 0.12;

// The image, in its own units: a point is about one.
constexpr double width = 620, height = 340, left = 96, right = 14, top = 10, bottom = 64;
// Closer than this, two edges' texts would run into each other.
constexpr double apart_across = 62, apart_up = 13;

class Mapping {
 public:
  Mapping(const compiler::Difference& difference, const compiler::Statement& statement)
      : space_(difference.space), statement_(statement) {}

  std::optional<ChangeMap> run() {
    if (!choose()) return std::nullopt;
    for (std::size_t i = 0; i < statement_.becomes.size(); ++i)
      for (const auto& box : statement_.becomes[i].where)
        add(compiler::shared_box(statement_.who, box), i, map_.regions);
    for (const auto& box : statement_.but_not) add(compiler::shared_box(statement_.who, box), 0, map_.kept);
    map_.across = axis(across_, &ChangeMap::Region::left, &ChangeMap::Region::right);
    map_.up = axis(up_, &ChangeMap::Region::bottom, &ChangeMap::Region::top);
    auto rest = statement_.who;
    std::erase_if(rest, [&](const compiler::Cell& cell) { return cell.column == across_ || cell.column == up_; });
    map_.who = in_words(space_, rest);
    return std::move(map_);
  }

 private:
  // The two details that tell the statement's parts apart; where it has no parts, the two it speaks of.
  bool choose() {
    std::set<ColumnId> within, spoken;
    const auto note = [&](const Box& box) {
      for (const auto& cell : box) within.insert(cell.column);
    };
    for (const auto& becomes : statement_.becomes)
      for (const auto& box : becomes.where) note(box);
    for (const auto& box : statement_.but_not) note(box);
    const auto number = [&](ColumnId column) { return !space_.tables.has_members(column); };
    if (!std::all_of(within.begin(), within.end(), number)) return false;
    for (const auto& cell : statement_.who)
      if (number(cell.column)) spoken.insert(cell.column);
    auto chosen = within;
    if (within.size() < 2) {
      chosen = spoken;
      chosen.insert(within.begin(), within.end());
    }
    if (chosen.size() != 2) return false;
    across_ = *chosen.begin();
    up_ = *chosen.rbegin();
    return true;
  }

  // The values of a range of places, from the first on up to where the next begins.
  std::pair<double, double> values(ColumnId column, const compiler::PlaceRange& range) const {
    const auto& cuts = space_.tables.columns[column].cuts;
    const auto [low, high] = whole(column);
    return {range.first == 0 ? low : edge(column, range.first - 1),
            range.last < cuts.size() ? edge(column, range.last) : high};
  }
  double edge(ColumnId column, std::size_t cut) const {
    return static_cast<double>(space_.edge_as_meant(column, space_.tables.columns[column].cuts[cut]).at);
  }
  std::pair<double, double> whole(ColumnId column) const {
    const auto& known = space_.tables.columns[column];
    if (!known.worked_out) {
      const auto& domain = space_.tables.asked[known.detail];
      return {static_cast<double>(domain.lowest), static_cast<double>(domain.highest)};
    }
    const auto& detail = space_.tables.worked_out[known.detail];
    const auto value = [](const compiler::Rational& exact) {
      return static_cast<double>(exact.numerator) / static_cast<double>(exact.denominator);
    };
    return {value(detail.lowest), value(detail.highest)};
  }

  void add(const Box& box, std::size_t becomes, std::vector<ChangeMap::Region>& regions) const {
    const auto places = [&](ColumnId column) {
      const auto* held = compiler::places_in(box, column);
      return held ? *held : Places{{0, space_.tables.columns[column].places - 1}};
    };
    for (const auto& x : places(across_))
      for (const auto& y : places(up_)) {
        const auto [from, to] = values(across_, x);
        const auto [low, high] = values(up_, y);
        regions.push_back({from, to, low, high, becomes});
      }
  }

  ChangeMap::Axis axis(ColumnId column, double ChangeMap::Region::*begin, double ChangeMap::Region::*end) const {
    const auto [lowest, highest] = whole(column);
    std::set<double> ends;
    for (const auto* regions : {&map_.regions, &map_.kept})
      for (const auto& region : *regions) ends.insert({region.*begin, region.*end});
    // The ends of the whole detail are drawn only where they lie near: what matters is around the edges.
    auto inner = ends;
    inner.erase(lowest), inner.erase(highest);
    if (inner.empty()) inner = ends;
    const auto around = std::max((*inner.rbegin() - *inner.begin()) * margin, (highest - lowest) * least_margin);
    const auto written = [&](double at) { return space_.scale_of(column).write_edge(static_cast<std::int64_t>(at)); };
    ChangeMap::Axis out;
    out.name = space_.name_of(column);
    std::replace(out.name.begin(), out.name.end(), '_', ' ');
    out.low = std::max(lowest, *inner.begin() - around);
    out.high = std::min(highest, *inner.rbegin() + around);
    for (const auto at : ends) out.edges.emplace_back(at, written(at));
    return out;
  }

  const Policy& space_;
  const compiler::Statement& statement_;
  ColumnId across_ = 0, up_ = 0;
  ChangeMap map_;
};

class Drawing {
 public:
  Drawing(const ChangeMap& map, const std::string& id) : map_(map), id_(escaped(id)) {}

  std::string run(const std::string& about, const std::vector<std::string>& becomes) {
    std::string out = fmt::format(
        "<svg viewBox=\"0 0 {0} {1}\" role=\"img\" aria-labelledby=\"{2}-title {2}-says\">\n"
        "<title id=\"{2}-title\">{3}</title>\n<desc id=\"{2}-says\">{4}</desc>\n",
        width, height, id_, escaped(fmt::format("{} by {} and {}", about, map_.across.name, map_.up.name)),
        escaped(described(becomes)));
    out += patterns(becomes.size());
    for (const auto& region : map_.regions)
      out += rectangle(region, fmt::format("url(#{}-{})", id_, region.becomes % looks));
    for (const auto& region : map_.kept) out += rectangle(region, "#fff", " stroke-dasharray=\"5 3\"");
    out += edges();
    out += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"none\" stroke=\"#000\"/>\n", left,
                       top, width - left - right, height - top - bottom);
    for (const auto& region : map_.regions) out += number(region);
    for (const auto& region : map_.kept) out += text(middle_x(region), middle_y(region) + 4, "middle", "no change");
    return out + "</svg>\n";
  }

 private:
  static constexpr std::size_t looks = 4;

  std::string described(const std::vector<std::string>& becomes) const {
    std::string out;
    for (const auto& region : map_.regions)
      out += fmt::format("{} from {} to {}, {} from {} to {}: {}. ", map_.across.name, at(map_.across, region.left),
                         at(map_.across, region.right), map_.up.name, at(map_.up, region.bottom),
                         at(map_.up, region.top), becomes[region.becomes]);
    for (const auto& region : map_.kept)
      out += fmt::format("No change for {} from {} to {}, {} from {} to {}. ", map_.across.name,
                         at(map_.across, region.left), at(map_.across, region.right), map_.up.name,
                         at(map_.up, region.bottom), at(map_.up, region.top));
    if (!out.empty()) out.pop_back();
    return out;
  }
  static std::string at(const ChangeMap::Axis& axis, double value) {
    const auto known =
        std::find_if(axis.edges.begin(), axis.edges.end(), [&](const auto& edge) { return edge.first == value; });
    return known == axis.edges.end() ? "" : known->second;
  }

  // Strokes, so that no colour is needed to tell them apart.
  std::string patterns(std::size_t count) const {
    static constexpr const char* strokes[looks] = {"M0 8 8 0", "M0 0 8 8", "M4 0V8", "M0 4H8M4 0V8"};
    static constexpr const char* shades[looks] = {"#cfe3f5", "#fbe3c0", "#d5ecd2", "#ecd6ea"};
    std::string out = "<defs>\n";
    for (std::size_t i = 0; i < std::min(count, looks); ++i)
      out += fmt::format(
          "<pattern id=\"{}-{}\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\"><rect width=\"8\" "
          "height=\"8\" "
          "fill=\"{}\"/><path d=\"{}\" stroke=\"#555\" stroke-width=\"0.8\"/></pattern>\n",
          id_, i, shades[i], strokes[i]);
    return out + "</defs>\n";
  }

  double x(double value) const {
    value = std::clamp(value, map_.across.low, map_.across.high);
    return left + (value - map_.across.low) / (map_.across.high - map_.across.low) * (width - left - right);
  }
  double y(double value) const {
    value = std::clamp(value, map_.up.low, map_.up.high);
    return height - bottom - (value - map_.up.low) / (map_.up.high - map_.up.low) * (height - top - bottom);
  }
  double middle_x(const ChangeMap::Region& region) const { return (x(region.left) + x(region.right)) / 2; }
  double middle_y(const ChangeMap::Region& region) const { return (y(region.bottom) + y(region.top)) / 2; }

  std::string rectangle(const ChangeMap::Region& region, const std::string& fill, const char* more = "") const {
    return fmt::format(
        "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"{}\" stroke=\"#000\" "
        "stroke-width=\"1.2\"{}/>\n",
        x(region.left), y(region.top), x(region.right) - x(region.left), y(region.bottom) - y(region.top), fill, more);
  }

  // The number stands in the largest part of the region that is not drawn over.
  std::string number(const ChangeMap::Region& region) const {
    auto free = region;
    for (const auto& kept : map_.kept) {
      if (kept.left >= free.right || kept.right <= free.left || kept.bottom >= free.top || kept.top <= free.bottom)
        continue;
      const std::pair<double, ChangeMap::Region> rests[] = {
          {x(kept.left) - x(free.left), {free.left, kept.left, free.bottom, free.top, 0}},
          {x(free.right) - x(kept.right), {kept.right, free.right, free.bottom, free.top, 0}},
          {y(free.bottom) - y(kept.bottom), {free.left, free.right, free.bottom, kept.bottom, 0}},
          {y(kept.top) - y(free.top), {free.left, free.right, kept.top, free.top, 0}}};
      free = std::max_element(std::begin(rests), std::end(rests), [](const auto& a, const auto& b) {
               return a.first < b.first;
             })->second;
    }
    const auto at_x = middle_x(free), at_y = middle_y(free);
    return fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"10\" fill=\"#fff\" stroke=\"#000\"/>\n", at_x, at_y) +
           text(at_x, at_y + 4.2, "middle", std::to_string(region.becomes + 1));
  }

  // Lines where the regions begin and end, and what stands there.
  std::string edges() const {
    std::string out;
    double last[2] = {-1e9, -1e9};  // in each of two lines
    for (const auto& [value, written] : map_.across.edges) {
      if (value < map_.across.low || value > map_.across.high) continue;
      if (value > map_.across.low && value < map_.across.high)
        out += line(x(value), top, x(value), height - bottom + 5);
      for (const std::size_t row : {0, 1}) {
        if (x(value) - last[row] < apart_across) continue;
        last[row] = x(value);
        out += text(last[row], height - bottom + 18 + 14 * static_cast<double>(row), "middle", written);
        break;
      }
    }
    out += text((left + width - right) / 2, height - 8, "middle", map_.across.name, " font-weight=\"bold\"");
    double above = 1e9;
    for (const auto& [value, written] : map_.up.edges) {
      if (value > map_.up.low && value < map_.up.high) out += line(left - 5, y(value), width - right, y(value));
      if (value < map_.up.low || value > map_.up.high || above - y(value) < apart_up) continue;
      above = y(value);
      out += text(left - 8, above + 4, "end", written);
    }
    return out + fmt::format(
                     "<text x=\"14\" y=\"{0:.1f}\" text-anchor=\"middle\" font-size=\"12\" font-weight=\"bold\" "
                     "transform=\"rotate(-90 14 {0:.1f})\">{1}</text>\n",
                     (top + height - bottom) / 2, escaped(map_.up.name));
  }
  static std::string line(double x1, double y1, double x2, double y2) {
    return fmt::format(
        "<path d=\"M{:.1f} {:.1f}L{:.1f} {:.1f}\" stroke=\"#666\" stroke-width=\"0.7\" stroke-dasharray=\"2 3\"/>\n",
        x1, y1, x2, y2);
  }
  static std::string text(double x, double y, const char* anchor, const std::string& written, const char* more = "") {
    return fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\" font-size=\"12\"{}>{}</text>\n", x, y,
                       anchor, more, escaped(written));
  }

  const ChangeMap& map_;
  std::string id_;
};

}  // namespace

std::optional<ChangeMap> map_of(const compiler::Difference& difference, const compiler::Statement& statement) {
  return Mapping(difference, statement).run();
}

std::string svg_of(const ChangeMap& map, const std::string& id, const std::string& about,
                   const std::vector<std::string>& becomes) {
  return Drawing(map, id).run(about, becomes);
}

}  // namespace lacestay::runtime
