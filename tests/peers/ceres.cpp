// The equations solved by Ceres. In: a variant, the neutral form, the number of runs. Out: seconds, steps and the place found.
//
// The neutral form is described in equations.rs; what is read and what is written has the same lines: a name, a count and
// so many numbers. Affine rows give their constant derivatives; rows with sines and cosines are differentiated
// automatically, in one pass over a number type of just their size. One thread, SPARSE_NORMAL_CHOLESKY. Every unknown is
// a block of its own. The time is that of ceres::Solve; the problem is built apart, and safety checks are off.
//
// Tried on 1,000 bays, chain and closed loop, Ceres 2.1 of Debian 12, beside other work on the machine (seconds):
// trust region from 1e16 0.19 and 0.39 in 4 steps; from the default of 1e4 1.3 in 32 steps, to another root, and not in 500
// steps. Then, from 1e16: CXSparse 0.27 and 0.42 and Eigen 0.28 and 0.46 beside SuiteSparse with 0.27 and 0.46 in the same
// minutes; no scaling of columns 0.25 and 0.41; post-ordering 0.25 and 0.46: all within what two runs differ by. Dogleg
// 0.57 in 11 steps and not at all.

#include <ceres/ceres.h>

#include <array>
#include <chrono>
#include <cmath>
#include <fstream>
#include <iomanip>
#include <iostream>
#include <map>
#include <memory>
#include <sstream>
#include <stdexcept>
#include <string>
#include <tuple>
#include <type_traits>
#include <utility>
#include <vector>

namespace {

// No more runs once they took so many seconds together.
constexpr double kEnough = 20.0;

using Clock = std::chrono::steady_clock;

double seconds(Clock::time_point begun) {
  return std::chrono::duration<double>(Clock::now() - begun).count();
}

// An affine form of a row's unknowns: a constant, and entries of unknown and coefficient.
struct Form {
  double constant = 0.0;
  std::vector<std::pair<int, double>> entries;

  template <typename T>
  T At(const T* const* x) const {
    T sum(constant);
    for (const auto& [unknown, coefficient] : entries) sum += coefficient * x[unknown][0];
    return sum;
  }
};

struct Term {
  Form amount;
  std::vector<int> factors;  // 2 * angle: its sine, 2 * angle + 1: its cosine
};

// A row reads the angles of no more than a point, a plane and its normal.
constexpr std::size_t kMostAngles = 9;

// One row; unknowns and angles are numbered within it.
struct Row {
  std::vector<int> unknowns;
  std::vector<Form> angles;
  std::vector<Term> terms;

  // The unknowns, one block each, and the residual last.
  template <typename... Pointer>
  bool operator()(Pointer... pointers) const {
    constexpr std::size_t count = sizeof...(Pointer) - 1;
    const auto all = std::make_tuple(pointers...);
    auto* residual = std::get<count>(all);
    using T = std::remove_pointer_t<decltype(residual)>;
    const T* const x[] = {pointers...};
    std::array<T, 2 * kMostAngles> trig;
    for (std::size_t angle = 0; angle < angles.size(); ++angle) {
      using std::cos;
      using std::sin;
      const T at = angles[angle].At(x);
      trig[2 * angle] = sin(at);
      trig[2 * angle + 1] = cos(at);
    }
    T sum(0.0);
    for (const Term& term : terms) {
      T product = term.amount.At(x);
      for (int factor : term.factors) product *= trig[factor];
      sum += product;
    }
    residual[0] = sum;
    return true;
  }
};

// A row without sines and cosines.
class AffineRow final : public ceres::CostFunction {
 public:
  explicit AffineRow(Form form) : form_(std::move(form)) {
    set_num_residuals(1);
    mutable_parameter_block_sizes()->assign(form_.entries.size(), 1);
  }

  bool Evaluate(double const* const* x, double* residuals, double** jacobians) const override {
    residuals[0] = form_.At(x);
    if (jacobians == nullptr) return true;
    for (const auto& [unknown, coefficient] : form_.entries) {
      if (jacobians[unknown] != nullptr) jacobians[unknown][0] = coefficient;
    }
    return true;
  }

 private:
  Form form_;  // unknown i is block i
};

template <std::size_t>
constexpr int kOne = 1;

template <std::size_t... I>
ceres::CostFunction* Automatic(const Row& row, std::index_sequence<I...>) {
  return new ceres::AutoDiffCostFunction<Row, 1, kOne<I>...>(new Row(row));
}

// By the number of unknowns of the row.
template <std::size_t N = 1>
ceres::CostFunction* Turned(const Row& row) {
  if (row.unknowns.size() == N) return Automatic(row, std::make_index_sequence<N>());
  if constexpr (N < 32) return Turned<N + 1>(row);
  throw std::runtime_error("a row reads " + std::to_string(row.unknowns.size()) + " unknowns");
}

// The arrays of the neutral form, by name.
class Arrays {
 public:
  explicit Arrays(const std::string& path) {
    std::ifstream file(path);
    std::string name;
    std::size_t count = 0;
    while (file >> name >> count) {
      std::vector<double>& values = arrays_[name];
      values.resize(count);
      for (double& value : values) {
        if (!(file >> value)) throw std::runtime_error(path + ": `" + name + "` ends early");
      }
    }
  }

  const std::vector<double>& at(const std::string& name) const {
    const auto found = arrays_.find(name);
    if (found == arrays_.end()) throw std::runtime_error("no `" + name + "`");
    return found->second;
  }

 private:
  std::map<std::string, std::vector<double>> arrays_;
};

std::vector<Form> ReadForms(const Arrays& arrays, const std::string& name) {
  const auto& constant = arrays.at(name + "_constant");
  const auto& first = arrays.at(name + "_first");
  const auto& unknown = arrays.at(name + "_unknown");
  const auto& coefficient = arrays.at(name + "_coefficient");
  std::vector<Form> forms(constant.size());
  for (std::size_t form = 0; form < forms.size(); ++form) {
    forms[form].constant = constant[form];
    for (auto at = static_cast<std::size_t>(first[form]); at < first[form + 1]; ++at) {
      forms[form].entries.emplace_back(static_cast<int>(unknown[at]), coefficient[at]);
    }
  }
  return forms;
}

// Numbers what a row reads within it.
class Numbering {
 public:
  int operator()(int known) {
    const auto [at, is_new] = number_.try_emplace(known, static_cast<int>(order_.size()));
    if (is_new) order_.push_back(known);
    return at->second;
  }
  const std::vector<int>& order() const { return order_; }

 private:
  std::map<int, int> number_;
  std::vector<int> order_;
};

std::vector<Row> ReadRows(const Arrays& arrays) {
  const std::vector<Form> angles = ReadForms(arrays, "angle");
  const std::vector<Form> amounts = ReadForms(arrays, "amount");
  const auto& first_term = arrays.at("first_term");
  const auto& first_factor = arrays.at("first_factor");
  const auto& factor = arrays.at("factor");
  std::vector<Row> rows(first_term.size() - 1);
  for (std::size_t at = 0; at < rows.size(); ++at) {
    Numbering unknown;
    Numbering angle;
    auto within = [&](Form form) {
      for (auto& entry : form.entries) entry.first = unknown(entry.first);
      return form;
    };
    for (auto term = static_cast<std::size_t>(first_term[at]); term < first_term[at + 1]; ++term) {
      Term read{within(amounts[term]), {}};
      for (auto f = static_cast<std::size_t>(first_factor[term]); f < first_factor[term + 1]; ++f) {
        const int which = static_cast<int>(factor[f]);
        read.factors.push_back(2 * angle(which / 2) + which % 2);
      }
      rows[at].terms.push_back(std::move(read));
    }
    for (int read : angle.order()) rows[at].angles.push_back(within(angles[read]));
    rows[at].unknowns = unknown.order();
    if (rows[at].angles.size() > kMostAngles) throw std::runtime_error("a row reads too many angles");
  }
  return rows;
}

// Ends when all residuals are within what is asked: the root of the sum of their squares is, which is no less than the
// largest of them.
class Reached final : public ceres::IterationCallback {
 public:
  explicit Reached(double within) : cost_(0.5 * within * within) {}
  ceres::CallbackReturnType operator()(const ceres::IterationSummary& summary) override {
    return summary.cost <= cost_ ? ceres::SOLVER_TERMINATE_SUCCESSFULLY : ceres::SOLVER_CONTINUE;
  }

 private:
  double cost_;
};

void Build(const std::vector<Row>& rows, std::vector<double>& x, ceres::Problem& problem) {
  for (const Row& row : rows) {
    std::vector<double*> blocks;
    for (int unknown : row.unknowns) blocks.push_back(&x[unknown]);
    const bool affine = row.angles.empty() && row.terms.size() == 1;
    problem.AddResidualBlock(affine ? new AffineRow(row.terms[0].amount) : Turned(row), nullptr, blocks);
  }
}

void Tell(const std::string& name, const std::vector<double>& values) {
  std::cout << name << ' ' << values.size();
  for (double value : values) std::cout << ' ' << value;
  std::cout << '\n';
}

void Run(const std::string& variant, const std::string& path, int runs) {
  const Arrays arrays(path);
  const std::vector<Row> rows = ReadRows(arrays);
  const std::vector<double> start = arrays.at("start");
  Reached reached(arrays.at("within").at(0));

  ceres::Solver::Options options;
  options.linear_solver_type = ceres::SPARSE_NORMAL_CHOLESKY;
  options.num_threads = 1;
  options.logging_type = ceres::SILENT;
  options.max_num_iterations = 500;
  // only the callback ends a search
  options.function_tolerance = 0.0;
  options.gradient_tolerance = 0.0;
  options.parameter_tolerance = 0.0;
  options.callbacks.push_back(&reached);
  if (variant == "tuned") {
    options.initial_trust_region_radius = 1e16;
  } else if (variant != "default") {
    throw std::runtime_error("no variant `" + variant + "`");
  }

  std::vector<double> times, built, x;
  double steps = 0.0;
  for (double spent = 0.0; times.size() < static_cast<std::size_t>(runs) && spent <= kEnough; spent += times.back()) {
    x = start;
    const auto began_to_build = Clock::now();
    ceres::Problem::Options unchecked;
    unchecked.disable_all_safety_checks = true;
    ceres::Problem problem(unchecked);
    Build(rows, x, problem);
    built.push_back(seconds(began_to_build));
    const auto begun = Clock::now();
    ceres::Solver::Summary summary;
    ceres::Solve(options, &problem, &summary);
    times.push_back(seconds(begun));
    if (summary.termination_type != ceres::USER_SUCCESS) {
      std::ostringstream said;
      said << summary.message << " Root of twice the cost " << std::sqrt(2.0 * summary.final_cost) << " mm.";
      throw std::runtime_error(said.str());
    }
    steps = summary.num_successful_steps + summary.num_unsuccessful_steps - 1;
  }
  std::cout << std::setprecision(17);
  Tell("built", built);
  Tell("times", times);
  Tell("steps", {steps});
  Tell("x", x);
}

}  // namespace

int main(int count, char** words) {
  if (count != 4) {
    std::cerr << "usage: ceres tuned|default EQUATIONS RUNS\n";
    return 2;
  }
  try {
    Run(words[1], words[2], std::stoi(words[3]));
  } catch (const std::exception& error) {
    std::cerr << error.what() << '\n';
    return 1;
  }
  return 0;
}
