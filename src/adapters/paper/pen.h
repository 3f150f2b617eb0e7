#pragma once
// A pen over cairo: the inks and strokes of our drawings, in pixels from the top left.
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "adapters/paper/cairo_library.h"

namespace headroom {

enum class Ink : std::uint8_t { ink, soft, rule, faint, pale, accent, paper };

struct PlotBox {
  double left = 0, top = 0, right = 0, bottom = 0;
};

class Pen {
 public:
  using Points = std::vector<std::pair<double, double>>;
  enum class Side : std::uint8_t { left, middle, right };

  Pen(const CairoLibrary& library, cairo_surface_t* surface) : lib_(library), cr_(library.create(surface)) {
    lib_.select_font_face(cr_, "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
    lib_.set_line_join(cr_, CAIRO_LINE_JOIN_ROUND);
  }
  ~Pen() { lib_.destroy(cr_); }
  Pen(const Pen&) = delete;
  Pen& operator=(const Pen&) = delete;

  void line(double x1, double y1, double x2, double y2, Ink ink, double width);
  void path(const Points& points, Ink ink, double width, bool dashed = false);
  void fill(const Points& outline, Ink ink);
  void box(const PlotBox& box, Ink ink);
  void open_circle(double x, double y, double radius);
  void dotted(double x1, double y1, double x2, double y2, double width);
  void hatch(const PlotBox& box);
  // `y` is the base line.
  void text(double x, double y, double size, std::string_view words, Side side = Side::left, Ink ink = Ink::ink,
            bool bold = false);
  [[nodiscard]] double width_of(std::string_view words, double size);
  // Broken at spaces into lines of at most `width`.
  [[nodiscard]] std::vector<std::string> broken(std::string_view words, double size, double width);
  void within(const PlotBox& box);  // until done()
  void done() { lib_.restore(cr_); }
  [[nodiscard]] cairo_status_t status() const { return lib_.status(cr_); }

 private:
  void use(Ink ink, double width);
  const CairoLibrary& lib_;
  cairo_t* cr_;
};

}  // namespace headroom
