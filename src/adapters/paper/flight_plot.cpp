#include "adapters/paper/flight_plot.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "adapters/paper/axis.h"
#include "adapters/paper/pen.h"
#include "adapters/paper/svg_text.h"
#include "app/flight_plot.h"

namespace headroom {
namespace {

// The page, in pixels: a strip of panels over one time axis, and the wind beside the first of them, on the same heights.
constexpr double kPageWidth = 1060, kStripLeft = 76, kStripRight = 690, kLabels = 698;
constexpr double kWindLeft = 800, kWindRight = 965;
constexpr double kFirstTop = 112, kBetween = 44;
constexpr std::array<double, 3> kPanelHeights = {250, 170, 120};
constexpr double kSmall = 14, kText = 16, kTitle = 22, kLeading = 23, kColumn = 700;

class FlightDrawing {
 public:
  FlightDrawing(Pen& pen, const FlightPlot& plot) : pen_(pen), plot_(plot) {}

  void draw(double height, const std::vector<std::string>& beneath) {
    pen_.box({0, 0, kPageWidth, height}, Ink::paper);
    pen_.text(kStripLeft, 44, kTitle, plot_.title, Pen::Side::left, Ink::ink, true);
    double top = kFirstTop;
    for (std::size_t i = 0; i < plot_.panels.size() && i < kPanelHeights.size(); ++i) {
      panel({kStripLeft, top, kStripRight, top + kPanelHeights[i]}, plot_.panels[i]);
      if (i == 0) {
        wind({kWindLeft, top, kWindRight, top + kPanelHeights[i]}, axis_of(plot_.panels[0]));
        name_engine(top);
      }
      top += kPanelHeights[i] + kBetween;
    }
    top -= kBetween;
    time_marks(top);
    double y = top + 78;
    for (const auto& line : beneath) {
      pen_.text(kStripLeft, y, kText, line);
      y += kLeading;
    }
  }

 private:
  // Without a stretch of time to spread over all is drawn at the left.
  [[nodiscard]] double x_of(double t) const {
    if (!(plot_.end_s > plot_.begin_s)) return kStripLeft;
    return kStripLeft + (t - plot_.begin_s) / (plot_.end_s - plot_.begin_s) * (kStripRight - kStripLeft);
  }

  [[nodiscard]] static Axis axis_of(const PlotPanel& panel) {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (const auto& line : panel.lines)
      for (const double v : line.value) {
        if (std::isnan(v)) continue;
        low = std::min(low, v);
        high = std::max(high, v);
      }
    if (panel.with_zero) {
      low = std::min(low, 0.0);
      high = std::max(high, 0.0);
    }
    return round_axis(low, high, 5);
  }

  void panel(const PlotBox& box, const PlotPanel& panel) {
    pen_.text(box.left, box.top - 10, kSmall, panel.axis, Pen::Side::left, Ink::ink, true);
    for (const auto& [from, to] : plot_.engine_on)
      pen_.hatch({std::max(x_of(from), box.left), box.top, std::min(x_of(to), box.right), box.bottom});
    if (!panel.unknown.empty()) {
      pen_.line(box.left, box.bottom, box.right, box.bottom, Ink::soft, 1);
      pen_.text(box.left + 12, (box.top + box.bottom) / 2, kText, panel.unknown);
      return;
    }
    const auto axis = axis_of(panel);
    const auto y_of = [&](double v) { return box.bottom - (v - axis.low) / (axis.high - axis.low) * (box.bottom - box.top); };
    for (const double mark : axis.marks) {
      const bool zero = panel.with_zero && mark == 0;
      pen_.line(box.left, y_of(mark), box.right, y_of(mark), zero ? Ink::soft : Ink::rule, zero ? 1.2 : 0.8);
      pen_.text(box.left - 8, y_of(mark) + 5, kSmall, axis.text(mark), Pen::Side::right, Ink::soft);
    }
    pen_.within({box.left, box.top, box.right, box.bottom});
    for (const auto& line : panel.lines) band(line, y_of);
    for (const auto& line : panel.lines) stroke(line, y_of);
    pen_.done();
    name_lines(panel, box, y_of);
  }

  [[nodiscard]] static bool drawn(const PlotLine& line, std::size_t i) {
    return std::isfinite(line.value[i]) && std::isfinite(line.time_s[i]);
  }

  // Points in one column of half a pixel are drawn as their lowest and highest: a long recording is no larger than a short one.
  template <class Use>
  void columns(const PlotLine& line, const Use& use) const {
    std::size_t i = 0;
    while (i < line.value.size()) {
      if (!drawn(line, i)) {
        use(0, 0, 0, true);
        ++i;
        continue;
      }
      const double column = std::floor(2 * x_of(line.time_s[i]));
      std::size_t low = i, high = i, end = i + 1;
      for (; end < line.value.size() && drawn(line, end) && std::floor(2 * x_of(line.time_s[end])) == column; ++end) {
        if (line.value[end] < line.value[low]) low = end;
        if (line.value[end] > line.value[high]) high = end;
      }
      use(x_of(line.time_s[i]), std::min(low, high), std::max(low, high), false);
      i = end;
    }
    use(0, 0, 0, true);
  }

  template <class Y>
  void stroke(const PlotLine& line, const Y& y_of) {
    Pen::Points points;
    columns(line, [&](double x, std::size_t first, std::size_t second, bool ends) {
      if (ends) {
        pen_.path(points, line.second ? Ink::accent : Ink::ink, line.second ? 1.8 : 1.4, line.second);
        points.clear();
        return;
      }
      points.emplace_back(x, y_of(line.value[first]));
      if (second != first) points.emplace_back(x, y_of(line.value[second]));
    });
  }

  template <class Y>
  void band(const PlotLine& line, const Y& y_of) {
    if (line.low.empty()) return;
    Pen::Points upper, lower;
    columns(line, [&](double x, std::size_t first, std::size_t second, bool ends) {
      if (ends) {
        upper.insert(upper.end(), lower.rbegin(), lower.rend());
        if (upper.size() > 2) pen_.fill(upper, Ink::pale);
        upper.clear();
        lower.clear();
        return;
      }
      upper.emplace_back(x, y_of(std::max(line.high[first], line.high[second])));
      lower.emplace_back(x, y_of(std::min(line.low[first], line.low[second])));
    });
  }

  // Each line is named at its end; names that would touch are pushed apart.
  template <class Y>
  void name_lines(const PlotPanel& panel, const PlotBox& box, const Y& y_of) {
    std::vector<std::pair<double, const PlotLine*>> names;
    for (const auto& line : panel.lines) {
      if (line.name.empty()) continue;
      for (std::size_t i = line.value.size(); i-- > 0;) {
        if (std::isnan(line.value[i])) continue;
        names.emplace_back(std::clamp(y_of(line.value[i]) + 5, box.top + 10, box.bottom), &line);
        break;
      }
    }
    std::sort(names.begin(), names.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t i = names.size(); i-- > 1;) names[i - 1].first = std::min(names[i - 1].first, names[i].first - 19);
    for (const auto& [y, line] : names)
      pen_.text(kLabels, y, kSmall, line->name, Pen::Side::left, line->second ? Ink::accent : Ink::ink, line->second);
  }

  void name_engine(double top) {
    constexpr std::string_view kName = "engine on";
    const std::pair<double, double>* widest = nullptr;
    for (const auto& span : plot_.engine_on)
      if (widest == nullptr || span.second - span.first > widest->second - widest->first) widest = &span;
    if (widest == nullptr) return;
    const double half = pen_.width_of(kName, kSmall) / 2;
    // Not over the name of the axis, at the left.
    const double first = kStripLeft + pen_.width_of(plot_.panels[0].axis, kSmall) + 40 + half;
    const double x = std::clamp((x_of(widest->first) + x_of(widest->second)) / 2, first, kStripRight - half);
    pen_.text(x, top - 10, kSmall, kName, Pen::Side::middle);
  }

  void time_marks(double bottom) {
    for (const auto& [t, words] : plot_.clock) {
      pen_.line(x_of(t), bottom, x_of(t), bottom + 6, Ink::soft, 1);
      pen_.text(x_of(t), bottom + 22, kSmall, words, Pen::Side::middle, Ink::soft);
    }
    pen_.text(kStripLeft, bottom + 42, kSmall, plot_.time_axis, Pen::Side::left, Ink::ink, true);
  }

  void wind(const PlotBox& box, const Axis& heights) {
    pen_.text(box.left, box.top - 10, kSmall, plot_.wind_axis, Pen::Side::left, Ink::ink, true);
    if (plot_.layers.empty()) {
      double y = box.top + 20;
      for (const auto& line : pen_.broken(plot_.wind_unknown, kText, kPageWidth - box.left - 12)) {
        pen_.text(box.left, y, kText, line);
        y += kLeading;
      }
      return;
    }
    double most = 0;
    for (const auto& l : plot_.layers) most = std::max(most, std::min(l.high, 2 * l.mid + 3));
    const auto axis = round_axis(0, most, 4);
    const auto x_at = [&](double v) { return box.left + v / axis.high * (box.right - box.left); };
    const auto y_at = [&](double h) {
      return box.bottom - (h - heights.low) / (heights.high - heights.low) * (box.bottom - box.top);
    };
    for (const double mark : axis.marks) {
      pen_.line(x_at(mark), box.top, x_at(mark), box.bottom, mark == 0 ? Ink::soft : Ink::rule, mark == 0 ? 1.2 : 0.8);
      pen_.text(x_at(mark), box.bottom + 20, kSmall, axis.text(mark), Pen::Side::middle, Ink::soft);
    }
    for (const double mark : heights.marks) pen_.line(box.left, y_at(mark), box.right, y_at(mark), Ink::faint, 0.8);
    double written = box.bottom + 100;
    for (const auto& l : plot_.layers) {
      const double y = y_at((std::max(l.bottom, heights.low) + std::min(l.top, heights.high)) / 2);
      const double high = std::min(x_at(l.high), box.right);
      if (l.doubtful)
        pen_.dotted(x_at(l.low), y, high, y, 2);
      else
        pen_.line(x_at(l.low), y, high, y, Ink::ink, 2);
      pen_.open_circle(std::min(x_at(l.mid), box.right), y, 4.5);
      if (written - y < 17) continue;
      written = y;
      pen_.text(box.right + 10, y + 5, kSmall, "from " + l.from);
    }
  }

  Pen& pen_;
  const FlightPlot& plot_;
};

cairo_status_t keep_bytes(void* into, const unsigned char* bytes, unsigned int count) {
  static_cast<std::string*>(into)->append(reinterpret_cast<const char*>(bytes), count);  // NOLINT: bytes as text
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

Result<std::string> CairoPaper::draw(const FlightPlot& plot) {
  const auto cairo = open_cairo();
  if (!cairo) return tl::unexpected(cairo.error());
  const CairoLibrary& lib = **cairo;
  // How tall the page is depends on how the words beneath break, and an SVG surface is made with its size.
  std::vector<std::string> beneath;
  {
    auto* scratch = lib.image_surface_create(CAIRO_FORMAT_A8, 1, 1);
    beneath = Pen(lib, scratch).broken(plot.beneath, kText, kColumn);
    lib.surface_destroy(scratch);
  }
  double height = kFirstTop - kBetween + 78 + kLeading * static_cast<double>(beneath.size()) + 10;
  for (const double panel : kPanelHeights) height += panel + kBetween;

  std::string svg;
  auto* surface = lib.svg_surface_create_for_stream(keep_bytes, &svg, kPageWidth, height);
  lib.svg_surface_set_document_unit(surface, CAIRO_SVG_UNIT_PX);
  cairo_status_t status = CAIRO_STATUS_SUCCESS;
  {
    Pen pen(lib, surface);
    FlightDrawing(pen, plot).draw(height, beneath);
    status = pen.status();
  }
  lib.surface_finish(surface);
  if (status == CAIRO_STATUS_SUCCESS) status = lib.surface_status(surface);
  lib.surface_destroy(surface);
  if (status != CAIRO_STATUS_SUCCESS)
    return fail(ErrorKind::io, std::string("the drawing failed: ") + lib.status_to_string(status));

  std::string words = plot.beneath + " Axes: " + plot.time_axis;
  for (const auto& panel : plot.panels) words += "; " + panel.axis;
  return with_words(without_surface_ids(std::move(svg)), plot.title, words + "; " + plot.wind_axis + ".");
}

}  // namespace headroom
