#include "tests/compiler/proof/z3_judge.hpp"

#include <algorithm>

namespace lacestay::judges {

namespace {

// Work, not seconds: the same verdict on every machine. A question that uses it up is left unknown.
constexpr unsigned quick = 400'000, patient = 4'000'000;

}  // namespace

bool true_at(const Claim& claim, const Steps& values) {
  auto& context = claim.about.ctx();
  z3::expr_vector from(context), to(context);
  for (std::size_t i = 0; i < values.size(); ++i) {
    from.push_back(claim.unknowns[i]);
    to.push_back(context.int_val(values[i]));
  }
  auto about = claim.about;
  const auto value = about.substitute(from, to).simplify();
  if (value.is_true() || value.is_false()) return value.is_true();
  z3::solver solver(context);
  solver.add(value);
  return solver.check() == z3::sat;
}

Verdict settle(const Claim& exact, const std::function<Claim()>& loose, std::size_t& relaxed) {
  auto& context = exact.about.ctx();
  auto about = exact.about;
  const auto claim = about.simplify();
  if (claim.is_false()) return Verdict::none;
  const auto try_exact = [&](unsigned limit) {
    z3::solver solver(context, z3::solver::simple());
    solver.set("rlimit", limit);
    solver.add(claim);
    const auto result = solver.check();
    return result == z3::sat ? Verdict::some : result == z3::unsat ? Verdict::none : Verdict::unknown;
  };
  if (const auto verdict = try_exact(quick); verdict != Verdict::unknown) return verdict;
  ++relaxed;
  try {
    const auto other = loose();
    auto solver = (z3::tactic(context, "simplify") & z3::tactic(context, "elim-term-ite") &
                   z3::tactic(context, "tseitin-cnf") & z3::tactic(context, "qfnra-nlsat"))
                      .mk_solver();
    solver.set("rlimit", patient);
    solver.add(other.about);
    const auto result = solver.check();
    if (result == z3::unsat) return Verdict::none;
    if (result == z3::sat) {
      const auto model = solver.get_model();
      Steps values;
      for (const auto& unknown : other.unknowns) {
        const auto value = model.eval(unknown, true);
        std::int64_t step = 0;
        if (!z3::expr(context, Z3_mk_real2int(context, value)).simplify().is_numeral_i64(step)) break;
        values.push_back(step);
      }
      if (values.size() == other.unknowns.size() && true_at(exact, values)) return Verdict::some;
    }
  } catch (const NotEncoded&) {
  }
  return try_exact(patient);
}

Judge::Judge(const naive::Policy& policy) : policy_(policy), asked_(asked_ranges(policy)) {}

// Players that cannot be are outside of every question.
std::unique_ptr<Judge::Encoding> Judge::encode(const Apart& apart, bool relaxed) {
  const auto unknown = [&](const std::string& name) {
    return relaxed ? context_.real_const(name.c_str()) : context_.int_const(name.c_str());
  };
  std::vector<z3::expr> steps;
  for (const auto& range : asked_) steps.push_back(unknown(range.name));
  auto made = std::make_unique<Encoding>(Encoding{
      nullptr, std::make_unique<Model>(context_, policy_, asked_, steps, relaxed), steps, context_.bool_val(true)});
  made->domain = made->later->can_be();
  if (apart.empty()) return made;
  auto others = steps;
  for (const auto detail : apart) {
    made->unknowns.push_back(unknown("earlier " + asked_[detail].name));
    others[detail] = made->unknowns.back();
  }
  made->earlier = std::make_unique<Model>(context_, policy_, asked_, others, relaxed);
  made->domain = made->domain && made->earlier->can_be() && others[apart.front()] < steps[apart.front()];
  return made;
}

Judge::Encoding& Judge::exact(const Apart& apart) {
  auto& held = exact_[apart];
  if (!held) held = encode(apart, false);
  return *held;
}

Judge::Encoding& Judge::loose(const Apart& apart) {
  auto& held = loose_[apart];
  if (!held) held = encode(apart, true);
  return *held;
}

bool Judge::multiplied() const {
  return std::any_of(exact_.begin(), exact_.end(),
                     [](const auto& held) { return held.second->later->terms().multiplied(); });
}

Verdict Judge::settle_both(const Apart& apart, const std::function<z3::expr(Encoding&)>& question) {
  const auto claim = [&](Encoding& encoding) {
    return Claim{question(encoding) && encoding.domain, encoding.unknowns};
  };
  return settle(
      claim(exact(apart)), [&] { return claim(loose(apart)); }, relaxed_);
}

Verdict Judge::ask(const Question& question) {
  return settle_both({}, [&](Encoding& encoding) { return question(*encoding.later); });
}

Verdict Judge::ask(const Pair& question, const Apart& apart) {
  return settle_both(apart, [&](Encoding& encoding) { return question(*encoding.earlier, *encoding.later); });
}

bool Judge::holds(const Question& question, const Steps& player) {
  auto& encoding = exact({});
  return true_at({question(*encoding.later) && encoding.domain, encoding.unknowns}, player);
}

bool Judge::holds(const Pair& question, const Apart& apart, const Steps& earlier, const Steps& later) {
  auto others = earlier;
  auto values = later;
  for (const auto detail : apart) {
    others[detail] = later[detail];
    values.push_back(earlier[detail]);
  }
  if (others != later) return false;
  auto& encoding = exact(apart);
  return true_at({question(*encoding.earlier, *encoding.later) && encoding.domain, encoding.unknowns}, values);
}

}  // namespace lacestay::judges
