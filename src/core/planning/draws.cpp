#include "core/planning/draws.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <iterator>
#include <utility>

namespace headroom {

namespace {

struct Polynomial {
  unsigned degree, middle;
  std::array<std::uint32_t, 7> m;
};
// clang-format off
constexpr Polynomial kPolynomials[] = {
    {1, 0, {1}}, {2, 1, {1, 3}}, {3, 1, {1, 3, 1}}, {3, 2, {1, 1, 1}}, {4, 1, {1, 1, 3, 3}}, {4, 4, {1, 3, 5, 13}},
    {5, 2, {1, 1, 5, 5, 17}}, {5, 4, {1, 1, 5, 5, 5}}, {5, 7, {1, 1, 7, 11, 19}}, {5, 11, {1, 1, 5, 1, 1}},
    {5, 13, {1, 1, 1, 3, 11}}, {5, 14, {1, 3, 5, 5, 31}}, {6, 1, {1, 3, 3, 9, 7, 49}}, {6, 13, {1, 1, 1, 15, 21, 21}},
    {6, 16, {1, 3, 1, 13, 27, 49}}, {6, 19, {1, 1, 1, 15, 7, 5}}, {6, 22, {1, 3, 1, 15, 13, 25}},
    {6, 25, {1, 1, 5, 5, 19, 61}}, {7, 1, {1, 3, 7, 11, 23, 15, 103}}, {7, 4, {1, 3, 7, 13, 13, 15, 69}},
    {7, 7, {1, 1, 3, 13, 7, 35, 63}}, {7, 8, {1, 3, 5, 9, 1, 25, 53}}, {7, 14, {1, 3, 1, 13, 9, 35, 107}}};
// clang-format on
static_assert(std::size(kPolynomials) + 1 == kFactors);

std::array<std::uint32_t, 32> direction_numbers(std::size_t dimension) {
  std::array<std::uint32_t, 32> v{};
  if (dimension == 0) {
    for (unsigned k = 0; k < 32; ++k) v[k] = 1U << (31 - k);
    return v;
  }
  const auto& p = kPolynomials[dimension - 1];
  const unsigned s = p.degree;
  for (unsigned k = 0; k < s; ++k) v[k] = p.m[k] << (31 - k);
  for (unsigned k = s; k < 32; ++k) {
    v[k] = v[k - s] ^ (v[k - s] >> s);
    for (unsigned j = 1; j < s; ++j)
      if ((p.middle >> (s - 1 - j)) & 1U) v[k] ^= v[k - j];
  }
  return v;
}

// A fixed seed for each dimension: a shift of all its digits, which keeps the stratification and avoids the point at zero.
constexpr std::uint32_t shift_of(std::size_t dimension) {
  std::uint32_t x = 0x9e3779b9U * static_cast<std::uint32_t>(dimension + 1);
  x = (x ^ (x >> 16)) * 0x85ebca6bU;
  x = (x ^ (x >> 13)) * 0xc2b2ae35U;
  return x ^ (x >> 16);
}

using Row = std::array<double, kDraws>;

Row make_row(std::size_t dimension) {
  const auto v = direction_numbers(dimension);
  Row row{};
  std::uint32_t x = 0;
  for (std::uint32_t i = 0; i < kDraws; ++i) {
    row[i] = normal_quantile(((x ^ shift_of(dimension)) + 0.5) / 4294967296.0);
    x ^= v[static_cast<std::size_t>(std::countr_one(i))];
  }
  return row;
}

// Each row is made when first asked for: a start pays for the factors it uses.
template <std::size_t Dimension>
const Row& row_of() {
  static const Row row = make_row(Dimension);
  return row;
}
template <std::size_t... D>
const Row& row_by_index(std::size_t dimension, std::index_sequence<D...>) {
  using Getter = const Row& (*)();
  static constexpr Getter getters[] = {&row_of<D>...};
  return getters[dimension]();
}
const Row& row(Factor factor) {
  return row_by_index(static_cast<std::size_t>(factor), std::make_index_sequence<kFactors>());
}

}  // namespace

double normal_quantile(double u) {
  const double q = u - 0.5;
  if (std::abs(q) <= 0.425) {
    const double r = 0.180625 - q * q;
    return q * (((5.9109374720e1 * r + 1.5929113202e2) * r + 5.0434271938e1) * r + 3.3871327179) /
           (((6.7187563600e1 * r + 7.8757757664e1) * r + 1.7895169469e1) * r + 1.0);
  }
  double r = std::sqrt(-std::log(q < 0 ? u : 1 - u));
  double z = 0;
  if (r <= 5) {
    r -= 1.6;
    z = (((1.7023821103e-1 * r + 1.3067284816) * r + 2.7568153900) * r + 1.4234372777) /
        ((1.2021132975e-1 * r + 7.3700164250e-1) * r + 1.0);
  } else {
    r -= 5;
    z = (((1.7337203997e-2 * r + 4.2868294337e-1) * r + 3.0812263860) * r + 6.6579051150) /
        ((1.2258202635e-2 * r + 2.4197894225e-1) * r + 1.0);
  }
  return q < 0 ? -z : z;
}

double normal_draw(Factor factor, std::size_t i) {
  return row(factor)[i];
}

double draw(const Amount& a, Factor factor, std::size_t i) {
  const double z = normal_draw(factor, i) / kNormal95;
  return a.mid + (z >= 0 ? a.high - a.mid : a.mid - a.low) * z;
}

Amount from_draws(std::vector<double>& values, Dimension dimension, Basis basis) {
  std::sort(values.begin(), values.end());
  const auto at = [&](double p) { return values[static_cast<std::size_t>(p * static_cast<double>(values.size() - 1) + 0.5)]; };
  return {dimension, at(0.05), at(0.5), at(0.95), basis, {}};
}

double share_below_zero(const std::vector<double>& values) {
  const auto below = std::count_if(values.begin(), values.end(), [](double v) { return v < 0; });
  return static_cast<double>(below) / static_cast<double>(values.size());
}

}  // namespace headroom
