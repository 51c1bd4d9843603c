// Builds the tree's items about stock and prices: acceptance, worth, deals, rounding, the plan over the limit.
#include "grammar/read/build.hpp"

namespace lacestay::grammar {

namespace line = rules::line;

Requirement Builder::requirement(const Node& node) const {
  using Kind = Requirement::Kind;
  Requirement made;
  made.span = span(node);
  if (node.is<line::in_date>()) {
    made.kind = Kind::in_date;
    return made;
  }
  if (node.is<line::new_or_used>()) {
    made.kind = Kind::new_or_used;
    return made;
  }
  if (node.is<line::price>() || node.is<line::made>()) {
    made.kind = node.is<line::price>() ? Kind::price : Kind::made;
    made.relation = relation(*node.children[0]);
    made.amount = quantity(*node.children[1]);
    if (node.find<line::if_new>()) made.goods = Requirement::Goods::only_new;
    if (node.find<line::if_used>()) made.goods = Requirement::Goods::only_used;
    return made;
  }
  made.column = phrase(*node.children[0]);
  const Node* related = node.children.size() > 1 ? node.children[1].get() : nullptr;
  made.kind = node.is<line::covers>()              ? Kind::covers
              : !related                           ? Kind::is
              : related->is<line::as_advised>()    ? Kind::as_advised
              : related->is<line::least_advised>() ? Kind::at_least
              : related->is<line::most_advised>()  ? Kind::at_most
                                                   : Kind::within;
  if (related)
    if (const Node* length = related->find<rules::phrase>()) made.once_cut_to = phrase(*length);
  return made;
}

Accept Builder::accept(const Node& node) const {
  Accept made;
  made.piece = phrase(*node.children[0]);
  for (std::size_t i = 1; i < node.children.size() && !node.children[i]->is<rules::when>(); ++i)
    made.requirements.push_back(requirement(*node.children[i]));
  made.when = conditions(node);
  return made;
}

Instead Builder::instead(const Node& node, const Span& line) const {
  using Kind = Instead::Kind;
  Instead made;
  made.span = line;
  if (node.is<line::steps>()) {
    made.kind = Kind::step;
    auto [property, count] = steps(node);
    made.column = std::move(property);
    made.steps = count;
  } else if (node.is<line::instead_any>()) {
    made.kind = Kind::any;
    made.column = phrase(*node.children[0]);
  } else {
    made.kind = node.is<line::instead_refer>() ? Kind::refer : Kind::order;
  }
  return made;
}

void Builder::add_to_accept(const Node& root, const Span& line, Accept& accept) const {
  accept.instead.push_back(instead(*root.children[0], line));
  accept.instead.back().note = find_text(root);
}

void Builder::add_to_deal(const Node& root, const Span& line, Deal& deal) const {
  const Node& node = *root.children[0];
  if (node.is<line::because>()) {
    once(deal.because ? deal.because->span : Span{}, line, "because");
    deal.because = text(*node.children[0]);
  } else if (node.is<line::adds_to>()) {
    for (auto& other : phrases(node)) deal.adds_to.push_back(std::move(other));
  } else if (node.is<line::deal_gives>()) {
    once(deal.gives ? deal.gives->span : Span{}, line, "what the deal gives");
    deal.gives = Deal::Gives{quantity(*node.children[0]), node.find<line::together>() != nullptr, {}, line};
    for (const auto& child : node.children)
      if (child->is<rules::phrase>()) deal.gives->pieces.push_back(phrase(*child));
  } else {
    once(deal.lines ? deal.lines->span : Span{}, line, "for");
    Deal::Lines lines;
    lines.span = line;
    for (const auto& child : node.children) {
      if (child->is<rules::quantity>()) lines.count = quantity(*child);
      if (child->is<line::whole_kit>()) lines.whole_kit = true;
      if (child->is<rules::phrase>()) lines.pieces.push_back({phrase(*child), Relation::at_most, std::nullopt});
      if (child->is<line::deal_tag>()) {
        lines.pieces.back().relation = relation(*child->children[0]);
        lines.pieces.back().tag = quantity(*child->children[1]);
      }
      if (child->is<line::of_one_make>()) lines.one_make = true;
      if (child->is<line::of_make>()) lines.make = text(*child->children[0]);
    }
    deal.lines = std::move(lines);
  }
}

void Builder::add_to_plan(const Node& root, const Span& line, OverTheLimit& plan) const {
  const Node& node = *root.children[0];
  using Kind = PlanStep::Kind;
  PlanStep step;
  step.span = line;
  step.kind = node.is<line::hire>()       ? Kind::hire
              : node.is<line::borrow>()   ? Kind::borrow
              : node.is<line::buy_used>() ? Kind::buy_used
              : node.is<line::put_off>()  ? Kind::put_off
                                          : Kind::settle;
  if (step.kind == Kind::settle)
    step.other = instead(*node.children[0], line);
  else
    step.piece = phrase(*node.children[0]);
  if (const Node* cost = node.find<rules::quantity>()) step.cost = quantity(*cost);
  step.when = conditions(node);
  plan.steps.push_back(std::move(step));
}

}  // namespace lacestay::grammar
