#include "core/track/smooth.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <random>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

const UtcTime kSmoothStart = utc(2026, 5, 2, 7);
const MetresPerDegree kScale = metres_per_degree(46);

// A track along the 46th parallel and meridian 7 from offsets in metres; not rounded.
Track track_of(const std::vector<double>& t, const std::vector<double>& north, const std::vector<double>& height) {
  Track track;
  track.has_gnss = true;
  track.interval = seconds(t[1] - t[0]);
  for (std::size_t i = 0; i < t.size(); ++i) {
    TrackFix f;
    f.time = kSmoothStart + std::chrono::milliseconds(std::llround(t[i] * 1000));
    f.position = {46 + north[i] / kScale.north, 7};
    f.gnss_height = GnssHeight::from_si(height[i]);
    f.has_gnss_height = true;
    track.fixes.push_back(f);
  }
  return track;
}

// The same estimate by one dense weighted least-squares problem over all states at once: every measurement, every step of
// the motion and the prior on the first speed is one line. A Rauch-Tung-Striebel smoother is exactly its solution (Bell,
// SIAM J. Optim. 4 (1994) 626-636, from memory).
struct Batch {
  Eigen::VectorXd x;
  Eigen::MatrixXd covariance;
};
Batch batch(const std::vector<double>& t, const std::vector<double>& z, const std::vector<bool>& has, AxisNoise noise,
            double speed_variance) {
  const auto n = static_cast<Eigen::Index>(t.size());
  Eigen::MatrixXd information = Eigen::MatrixXd::Zero(2 * n, 2 * n);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(2 * n);
  information(1, 1) += 1 / speed_variance;
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto k = static_cast<std::size_t>(i);
    if (has[k]) {
      information(2 * i, 2 * i) += 1 / noise.measurement_variance_m2;
      right(2 * i) += z[k] / noise.measurement_variance_m2;
    }
    if (i == 0) continue;
    const double dt = t[k] - t[k - 1], q = noise.acceleration_density_m2_s3;
    Eigen::Matrix2d covariance;
    covariance << q * dt * dt * dt / 3, q * dt * dt / 2, q * dt * dt / 2, q * dt;
    Eigen::Matrix<double, 2, 4> step;
    step << -1, -dt, 1, 0, 0, -1, 0, 1;
    information.block<4, 4>(2 * i - 2, 2 * i - 2) += step.transpose() * covariance.inverse() * step;
  }
  const Eigen::LDLT<Eigen::MatrixXd> solver(information);
  return {solver.solve(right), solver.solve(Eigen::MatrixXd::Identity(2 * n, 2 * n))};
}

TEST(Smooth, EqualsTheBatchLeastSquaresSolution) {
  const std::vector<double> t{0, 1, 2, 3, 5, 6, 7, 8.5, 9, 12, 13, 14, 15, 16, 30, 31, 32};
  std::vector<double> north, height;
  std::mt19937 chance(3);
  std::normal_distribution<double> normal;
  for (const double s : t) {
    north.push_back(9 * s + 4 * std::sin(s / 3) + normal(chance));
    height.push_back(500 + 1.5 * s + 3 * std::sin(s / 4) + normal(chance));
  }
  Track track = track_of(t, north, height);
  std::vector<bool> all(t.size(), true), some = all;
  for (const std::size_t i : {4U, 5U, 11U}) {
    some[i] = false;
    track.fixes[i].has_gnss_height = false;
  }
  const AxisNoise h{4, 2}, v{2.5, 0.4};
  SmoothedTrack out;
  smooth(track, h, v, v, out);
  ASSERT_EQ(out.doubted, 0U);
  const Batch along = batch(t, north, all, h, 1600), up = batch(t, height, some, v, 100);
  for (std::size_t i = 0; i < t.size(); ++i) {
    SCOPED_TRACE(i);
    const auto k = static_cast<Eigen::Index>(2 * i);
    const SmoothedFix& f = out.fixes[i];
    EXPECT_NEAR(f.gnss.height_m, up.x(k), 1e-8);
    EXPECT_NEAR(f.gnss.rate_m_s, up.x(k + 1), 1e-8);
    // Covariances are kept in 32 bits (24 of them digits): half a unit of the last one, and what the states are held to.
    const auto kept = [](double value) { return 1e-8 + 6e-8 * std::abs(value); };
    EXPECT_NEAR(f.gnss.covariance.position, up.covariance(k, k), kept(up.covariance(k, k)));
    EXPECT_NEAR(f.gnss.covariance.cross, up.covariance(k, k + 1), kept(up.covariance(k, k + 1)));
    EXPECT_NEAR(f.gnss.covariance.velocity, up.covariance(k + 1, k + 1), kept(up.covariance(k + 1, k + 1)));
    // The metres of a degree change by 5e-7 over this track; so does its 300 m.
    EXPECT_NEAR((f.position.latitude_deg - 46) * kScale.north, along.x(k), 5e-4);
    EXPECT_NEAR(f.north_m_s, along.x(k + 1), 1e-4);
    EXPECT_NEAR(f.horizontal.position, along.covariance(k, k), kept(along.covariance(k, k)));
    EXPECT_NEAR(f.horizontal.velocity, along.covariance(k + 1, k + 1), kept(along.covariance(k + 1, k + 1)));
    EXPECT_NEAR(f.east_m_s, 0, 1e-9);
  }
}

// In the middle of a long dense track the smoother is the non-causal Wiener filter. With measurement density R = r dt and
// S(w) = q / w^4 its error density is S R / (S + R) (Van Trees, Detection, Estimation and Modulation Theory I (1968),
// sec. 6.2.3, from memory), so that  var x = R^(3/4) q^(1/4) / (2 sqrt 2),  var v = R^(1/4) q^(3/4) / (2 sqrt 2).
TEST(Smooth, ReachesTheVarianceOfTheNonCausalWienerFilter) {
  const double dt = 0.1, r = 100, q = 0.01, density = r * dt;
  std::vector<double> t, zero;
  for (int i = 0; i < 3000; ++i) {
    t.push_back(i * dt);
    zero.push_back(0);
  }
  SmoothedTrack out;
  smooth(track_of(t, zero, zero), {r, q}, {r, q}, {r, q}, out);
  const AxisCovariance& p = out.fixes[1500].gnss.covariance;
  EXPECT_NEAR(p.position / (std::pow(density, 0.75) * std::pow(q, 0.25) / std::sqrt(8)), 1, 2e-3);
  EXPECT_NEAR(p.velocity / (std::pow(density, 0.25) * std::pow(q, 0.75) / std::sqrt(8)), 1, 2e-3);
}

struct Truth {
  std::vector<double> t, x, v, z, h, c, zh;
};
Truth simulated(std::size_t n, double dt, AxisNoise along, AxisNoise up, unsigned seed) {
  std::mt19937 chance(seed);
  std::normal_distribution<double> normal;
  Truth s;
  double x = 0, v = 10, h = 500, c = 0;
  const auto move = [&](double& p, double& rate, double q) {
    // Exact steps of white acceleration: dv has variance q dt, and the position's share correlated with it is dt/2 dv.
    const double dv = std::sqrt(q * dt) * normal(chance);
    p += rate * dt + 0.5 * dt * dv + std::sqrt(q * dt * dt * dt / 12) * normal(chance);
    rate += dv;
  };
  for (std::size_t i = 0; i < n; ++i) {
    s.t.push_back(static_cast<double>(i) * dt);
    s.x.push_back(x);
    s.v.push_back(v);
    s.h.push_back(h);
    s.c.push_back(c);
    s.z.push_back(x + std::sqrt(along.measurement_variance_m2) * normal(chance));
    s.zh.push_back(h + std::sqrt(up.measurement_variance_m2) * normal(chance));
    move(x, v, along.acceleration_density_m2_s3);
    move(h, c, up.acceleration_density_m2_s3);
    v += 0.02 * (10 - v) * dt;  // keeps the made-up aircraft from running away
    c -= 0.02 * c * dt;
  }
  return s;
}

TEST(Smooth, EstimatesItsNoiseAndCoversTheTruth) {
  const AxisNoise along{4, 1.5}, up{1, 4};
  double position_inside = 0, velocity_inside = 0, height_inside = 0, climb_inside = 0, n = 0;
  for (unsigned seed = 1; seed <= 4; ++seed) {
    const Truth s = simulated(3000, 1, along, up, seed);
    const Track track = track_of(s.t, s.z, s.zh);
    SmoothedTrack out;
    smooth(track, out);
    // Heights tell: the east axis lies still here and halves the estimate of the horizontal noise. The acceleration is well
    // known only where q dt^3 is not small against r, as here.
    EXPECT_NEAR(out.gnss.measurement_variance_m2 / up.measurement_variance_m2, 1, 0.2) << seed;
    EXPECT_NEAR(out.gnss.acceleration_density_m2_s3 / up.acceleration_density_m2_s3, 1, 0.5) << seed;
    smooth(track, along, up, up, out);
    for (std::size_t i = 0; i < s.t.size(); ++i) {
      const SmoothedFix& f = out.fixes[i];
      const double m = metres_per_degree(f.position.latitude_deg).north;
      const double north = s.x[i] / kScale.north;
      position_inside += std::abs((f.position.latitude_deg - 46 - north) * m) < 1.645 * std::sqrt(f.horizontal.position) ? 1 : 0;
      velocity_inside += std::abs(f.north_m_s - s.v[i]) < 1.645 * std::sqrt(f.horizontal.velocity) ? 1 : 0;
      height_inside += std::abs(f.gnss.height_m - s.h[i]) < 1.645 * std::sqrt(f.gnss.covariance.position) ? 1 : 0;
      climb_inside += std::abs(f.gnss.rate_m_s - s.c[i]) < 1.645 * std::sqrt(f.gnss.covariance.velocity) ? 1 : 0;
      ++n;
    }
  }
  // 90 % intervals; about 12000 fixes of which some 2000 are independent: 0.02 is three standard deviations.
  EXPECT_NEAR(position_inside / n, 0.90, 0.02);
  EXPECT_NEAR(velocity_inside / n, 0.90, 0.02);
  EXPECT_NEAR(height_inside / n, 0.90, 0.02);
  EXPECT_NEAR(climb_inside / n, 0.90, 0.02);
}

TEST(Smooth, GivesAnOutlierLittleWeight) {
  std::vector<double> t, z, h;
  for (int i = 0; i < 100; ++i) {
    t.push_back(i);
    z.push_back(10.0 * i);
    h.push_back(500);
  }
  h[50] += 60;
  z[50] += 80;
  SmoothedTrack out;
  smooth(track_of(t, z, h), {4, 1}, {2, 0.3}, {2, 0.3}, out);
  EXPECT_EQ(out.doubted, 1U);
  EXPECT_LT(std::abs(out.fixes[50].gnss.height_m - 500), 4);
  EXPECT_LT(std::abs((out.fixes[50].position.latitude_deg - 46) * kScale.north - 500), 6);
}

TEST(Smooth, KnowsNothingAcrossAGapAndLittleWithinAShortOne) {
  std::vector<double> t, z, h;
  for (int i = 0; i < 60; ++i) {
    t.push_back(i < 20 ? i : i < 40 ? i + 30 : i + 200);  // a gap of 31 s, then one of 171 s
    z.push_back(10 * t.back());
    h.push_back(500 + t.back());
  }
  const Track track = track_of(t, z, h);
  SmoothedTrack both, part;
  smooth(track, {4, 1}, {2, 0.3}, {2, 0.3}, both);
  Track last = track;
  last.fixes.erase(last.fixes.begin(), last.fixes.begin() + 40);
  smooth(last, {4, 1}, {2, 0.3}, {2, 0.3}, part);
  for (std::size_t i = 0; i < 20; ++i) {
    EXPECT_EQ(both.fixes[40 + i].position, part.fixes[i].position);
    EXPECT_EQ(both.fixes[40 + i].gnss.rate_m_s, part.fixes[i].gnss.rate_m_s);
  }
  EXPECT_GT(both.fixes[19].horizontal.velocity, 1.2 * both.fixes[10].horizontal.velocity);
}

TEST(Smooth, CrossesTheDateLine) {
  Track track;
  track.interval = seconds(1);
  for (int i = 0; i < 60; ++i) {
    TrackFix f;
    f.time = kSmoothStart + std::chrono::seconds(i);
    double lon = 179.999 + i * 1e-4;
    if (lon > 180) lon -= 360;
    f.position = {10, lon};
    track.fixes.push_back(f);
  }
  SmoothedTrack out;
  smooth(track, out);
  for (const SmoothedFix& f : out.fixes) {
    EXPECT_NEAR(f.east_m_s, 1e-4 * metres_per_degree(10).east, 0.05);
    EXPECT_LE(std::abs(f.position.longitude_deg), 180);
  }
}

}  // namespace
}  // namespace headroom
