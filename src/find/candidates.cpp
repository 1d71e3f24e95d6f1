#include "find/candidates.hpp"

#include <algorithm>
#include <array>
#include <numeric>

namespace panewalk::find {
namespace {

using practice::FaultKind;
using practice::Subject;
using Pixels = std::vector<std::int32_t>;

constexpr std::array kChips{SeenColour::kGreen, SeenColour::kRed, SeenColour::kBlue};

class Candidates {
 public:
  Candidates(const Subject& subject, std::span<const Weighted> likely, bool bright,
             std::size_t round)
      : subject_{subject},
        painter_{subject},
        likely_{likely},
        bright_{bright},
        round_{round},
        pixels_{static_cast<std::int32_t>(subject.map->size())} {
    weigh_places();
  }

  std::vector<Question> all() {
    add_last_lit();
    add_colours();
    add_codes();
    add_spread();
    add_close_looks();
    add_ends_of_runs();
    add_dark();
    add_nulls();
    add_whole();
    add_halves();
    add_load();
    add_hold_and_other();
    return std::move(questions_);
  }

 private:
  /// How much of the weight sits at each pixel, and where the steps of it are.
  void weigh_places() {
    at_pixel_.assign(static_cast<std::size_t>(pixels_) + 1, 0);
    for (const Weighted& each : likely_) {
      const std::int32_t at = locus(subject_, each.hypothesis->fault);
      at_pixel_[static_cast<std::size_t>(std::clamp(at, 0, pixels_))] += each.weight;
      kind_[static_cast<std::size_t>(each.hypothesis->fault.kind)] += each.weight;
    }
    at_pixel_[0] = 0;
    for (const double weight : at_pixel_) located_ += weight;
  }

  [[nodiscard]] double of(FaultKind kind) const { return kind_[static_cast<std::size_t>(kind)]; }

  [[nodiscard]] StationIndex station(std::int32_t pixel) const {
    return subject_.map->station_of(base::PixelIndex::of(static_cast<std::size_t>(pixel)));
  }

  void add(Ask ask, std::vector<Picture> pictures, std::string shown,
           std::optional<StationIndex> at = {}) {
    questions_.push_back(
        {.ask = ask, .pictures = std::move(pictures), .station = at, .shown = std::move(shown)});
  }

  void add_where(Pixels pixels, SeenColour colour) {
    std::sort(pixels.begin(), pixels.end());
    pixels.erase(std::unique(pixels.begin(), pixels.end()), pixels.end());
    std::string shown = pixels_in_words(pixels) + " in " + std::string{practice::to_text(colour)};
    add(Ask::kWhere, {painter_.some(pixels, colour)}, std::move(shown));
  }

  /// Pixels that cut the weight at the places into `parts` equal parts; spread evenly where no
  /// place has any.
  [[nodiscard]] Pixels quantiles(int parts, double offset) const {
    Pixels cut;
    double sum = 0;
    double next = offset;
    // Every place keeps a little, so that the cuts never all fall together.
    const double floor = (located_ > 0 ? located_ * 0.1 : 1) / pixels_;
    const double all = located_ + floor * pixels_;
    for (std::int32_t i = 1; i <= pixels_ && std::ssize(cut) < parts; ++i) {
      sum += at_pixel_[static_cast<std::size_t>(i)] + floor;
      if (sum < next * all / parts) continue;
      cut.push_back(i);
      while (next * all / parts <= sum) next += 1;
    }
    return cut;
  }

  [[nodiscard]] Pixels likely_places(std::size_t most) const {
    Pixels places;
    for (const Weighted& each : likely_) {
      const std::int32_t at = locus(subject_, each.hypothesis->fault);
      if (at == 0 || std::find(places.begin(), places.end(), at) != places.end()) continue;
      places.push_back(at);
      if (places.size() == most) break;
    }
    return places;
  }

  void add_last_lit() {
    for (const SeenColour colour : {SeenColour::kWhite, SeenColour::kGreen, SeenColour::kRed}) {
      add(Ask::kLastLit, {painter_.all(colour)},
          "all pixels in " + std::string{practice::to_text(colour)});
    }
  }

  std::vector<Picture> rolled(std::vector<SeenColour> colours) const {
    std::vector<Picture> pictures;
    pictures.reserve(colours.size());
    for (const SeenColour colour : colours) pictures.push_back(painter_.all(colour));
    return pictures;
  }

  [[nodiscard]] Pixels looked_at() const {
    Pixels pixels{1, pixels_, (pixels_ + 1) / 2};
    for (const std::int32_t i : quantiles(4, 1)) pixels.push_back(i);
    for (const std::int32_t i : likely_places(2)) {
      for (const std::int32_t near : {i - 1, i, i + 1}) pixels.push_back(near);
    }
    pixels.erase(std::remove_if(pixels.begin(), pixels.end(),
                                [this](std::int32_t i) { return i < 1 || i > pixels_; }),
                 pixels.end());
    std::sort(pixels.begin(), pixels.end());
    pixels.erase(std::unique(pixels.begin(), pixels.end()), pixels.end());
    return pixels;
  }

  void add_colours() {
    std::vector<SeenColour> colours{SeenColour::kRed, SeenColour::kGreen, SeenColour::kBlue};
    std::string shown = "all pixels in red, green and blue";
    if (subject_.format.order.has_white()) {
      colours.push_back(SeenColour::kWhite);
      shown = "all pixels in red, green, blue and white";
    }
    for (const std::int32_t pixel : looked_at()) {
      add(Ask::kColours, rolled(colours), shown, station(pixel));
    }
    if (of(FaultKind::kPixelStuck) > 0.02) {
      colours.push_back(SeenColour::kDark);
      for (const std::int32_t pixel : likely_places(2)) {
        add(Ask::kColours, rolled(colours), shown + ", then dark", station(pixel));
      }
    }
  }

  /// Each pixel by its own row of colours: a station tells whose colours it shows.
  void add_codes() {
    constexpr std::array kDigits{SeenColour::kRed, SeenColour::kGreen, SeenColour::kBlue};
    int digits = 1;
    for (std::int32_t codes = 3; codes < pixels_; codes *= 3) ++digits;
    // More pictures than this nobody wants to read off; the rest of the code repeats.
    digits = std::min(digits, 5);
    std::vector<Picture> pictures(static_cast<std::size_t>(digits), painter_.dark());
    for (std::int32_t i = 1; i <= pixels_; ++i) {
      std::int32_t rest = i;
      for (Picture& picture : pictures) {
        painter_.paint(picture, i, kDigits[static_cast<std::size_t>(rest % 3)]);
        rest /= 3;
      }
    }
    for (const std::int32_t pixel : {pixels_, (pixels_ + 1) / 2, 1}) {
      add(Ask::kColours, pictures, "each pixel by its own row of colours", station(pixel));
    }
    pictures.resize(std::min<std::size_t>(pictures.size(), 3));
    add(Ask::kSame, std::move(pictures), "each pixel by its own row of colours");
  }

  void add_spread() {
    const SeenColour colour = kChips[round_ % kChips.size()];
    const double offset = 0.5 + 0.17 * static_cast<double>(round_ % 3);
    for (const int parts : {3, 6, 11}) {
      add_where(quantiles(parts, offset), colour);
    }
    // Evenly over the prop, at uneven steps so that no shift or mirror looks the same.
    Pixels uneven;
    const std::int32_t step = std::max(pixels_ / 5, 1);
    for (std::int32_t i = 1, k = 0; i <= pixels_ && k < 6; ++k) {
      uneven.push_back(i);
      i += std::max(
          step + (k % 2 == 0 ? -step / 4 : step / 5) + static_cast<std::int32_t>(round_ % 3), 1);
    }
    add_where(uneven, colour);
  }

  void add_close_looks() {
    const Pixels places = likely_places(6);
    const SeenColour colour = kChips[(round_ + 1) % kChips.size()];
    if (!places.empty()) {
      for (const std::int32_t reach : {1, 4}) {
        Pixels near;
        for (std::int32_t i = places.front() - reach; i <= places.front() + reach + 1; ++i) {
          if (i >= 1 && i <= pixels_) near.push_back(i);
        }
        add_where(near, colour);
      }
      add_where(places, colour);
      Pixels pairs;
      for (std::size_t k = 0; k < std::min<std::size_t>(places.size(), 4); ++k) {
        pairs.push_back(places[k]);
        if (places[k] < pixels_) pairs.push_back(places[k] + 1);
      }
      add_where(pairs, colour);
    }
    add_where({1}, colour);
    add_where({1, 2}, colour);
    if (pixels_ > 3) add_where({1, 2, pixels_ - 1, pixels_}, colour);
  }

  void add_ends_of_runs() {
    const auto& runs = subject_.map->runs();
    if (runs.size() < 2) return;
    const auto from_run = round_ % runs.size();
    Pixels firsts;
    Pixels ends;
    for (std::size_t k = 0; k < runs.size(); ++k) {
      const wiring::Run& run = runs[(from_run + k) % runs.size()];
      if (firsts.size() < 11) firsts.push_back(static_cast<std::int32_t>(run.first.value()));
      if (ends.size() < 10) {
        ends.push_back(static_cast<std::int32_t>(run.first.value()));
        ends.push_back(static_cast<std::int32_t>(run.last.value()));
      }
    }
    const SeenColour colour = kChips[round_ % kChips.size()];
    add_where(firsts, colour);
    add_where(ends, colour);
  }

  void add_dark() {
    if (of(FaultKind::kPixelStuck) < 0.005) return;
    add(Ask::kWhere, {painter_.dark()}, "nothing lit");
  }

  void add_nulls() {
    const auto nulls = static_cast<std::size_t>(subject_.placement.nulls);
    if (nulls == 0) return;
    Picture picture = painter_.dark();
    for (std::size_t slot = 0; slot < nulls; ++slot) {
      picture[slot] = painter_.light_of(SeenColour::kGreen, kOrdinary);
    }
    add(Ask::kWhere, {picture}, "the null pixels in green");
  }

  void add_whole() {
    std::vector<SeenColour> colours{SeenColour::kRed, SeenColour::kGreen, SeenColour::kBlue};
    std::string shown = "all pixels in red, green and blue";
    if (subject_.format.order.has_white()) {
      colours.push_back(SeenColour::kWhite);
      shown = "all pixels in red, green, blue and white";
    }
    add(Ask::kSame, rolled(colours), shown);
  }

  /// Halves what is left of single pixels that lack something: lit alone, is the stretch whole?
  void add_halves() {
    const double mass = of(FaultKind::kPixelDark) + of(FaultKind::kPixelColour);
    if (mass < 0.02) return;
    std::vector<double> at(static_cast<std::size_t>(pixels_) + 1, 0);
    std::array<double, practice::kSeenColours> by_colour{};
    for (const Weighted& each : likely_) {
      const practice::Fault& fault = each.hypothesis->fault;
      if (fault.kind != FaultKind::kPixelDark && fault.kind != FaultKind::kPixelColour) continue;
      at[static_cast<std::size_t>(fault.value)] += each.weight;
      by_colour[static_cast<std::size_t>(fault.colour)] += each.weight;
    }
    std::vector<SeenColour> colours{SeenColour::kRed, SeenColour::kGreen, SeenColour::kBlue};
    if (subject_.format.order.has_white()) colours.push_back(SeenColour::kWhite);
    for (const double share : {0.5, 0.25, 0.75}) {
      const std::int32_t middle = quantile(at, mass * share);
      add_stretch(at, middle, colours);
    }
    for (const SeenColour colour : colours) {
      if (by_colour[static_cast<std::size_t>(colour)] < 0.02) continue;
      add(Ask::kSame, {painter_.all(colour)},
          "all pixels in " + std::string{practice::to_text(colour)});
      add_stretch(at, quantile(at, mass * 0.5), {colour});
    }
    add_few(at);
  }

  [[nodiscard]] std::int32_t quantile(const std::vector<double>& at, double mass) const {
    double sum = 0;
    for (std::int32_t i = 1; i <= pixels_; ++i) {
      sum += at[static_cast<std::size_t>(i)];
      if (sum >= mass) return i;
    }
    return pixels_;
  }

  /// From the first pixel that may be bad to the middle of them.
  void add_stretch(const std::vector<double>& at, std::int32_t middle,
                   const std::vector<SeenColour>& colours) {
    const double all = std::accumulate(at.begin(), at.end(), 0.0);
    const std::int32_t first = quantile(at, all * 0.002);
    Pixels stretch;
    for (std::int32_t i = std::min(first, middle); i <= middle; ++i) stretch.push_back(i);
    std::vector<Picture> pictures;
    std::vector<std::string> names;
    for (const SeenColour colour : colours) {
      pictures.push_back(painter_.some(stretch, colour));
      names.emplace_back(practice::to_text(colour));
    }
    add(Ask::kSame, std::move(pictures), pixels_in_words(stretch) + " in " + base::listed(names));
  }

  /// The likeliest few, each to be tapped.
  void add_few(const std::vector<double>& at) {
    Pixels order;
    for (std::int32_t i = 1; i <= pixels_; ++i) {
      if (at[static_cast<std::size_t>(i)] > 0) order.push_back(i);
    }
    std::stable_sort(order.begin(), order.end(), [&at](std::int32_t a, std::int32_t b) {
      return at[static_cast<std::size_t>(a)] > at[static_cast<std::size_t>(b)];
    });
    for (const std::size_t most : {std::size_t{5}, std::size_t{12}}) {
      Pixels few = order;
      few.resize(std::min(few.size(), most));
      for (const SeenColour colour : kChips) add_where(few, colour);
      if (subject_.format.order.has_white()) add_where(few, SeenColour::kWhite);
    }
  }

  void add_load() {
    if (!bright_ || of(FaultKind::kSag) < 0.005) return;
    const std::vector<Picture> load{painter_.all(SeenColour::kWhite, kBright)};
    const std::vector<Picture> beside{painter_.all(SeenColour::kWhite), load.front()};
    std::vector<double> at(static_cast<std::size_t>(pixels_) + 1, 0);
    for (const Weighted& each : likely_) {
      if (each.hypothesis->fault.kind != FaultKind::kSag) continue;
      at[static_cast<std::size_t>(each.hypothesis->fault.value)] += each.weight;
    }
    Pixels stations{pixels_};
    for (const double share : {0.25, 0.5, 0.75}) {
      stations.push_back(quantile(at, of(FaultKind::kSag) * share));
    }
    std::sort(stations.begin(), stations.end());
    stations.erase(std::unique(stations.begin(), stations.end()), stations.end());
    for (const std::int32_t pixel : stations) {
      add(Ask::kColours, load, "all pixels in bright white", station(pixel));
      add(Ask::kColours, beside, "all pixels in white, then in bright white", station(pixel));
    }
  }

  void add_hold_and_other() {
    const double breaks = of(FaultKind::kDataOpen) + of(FaultKind::kPixelStuck);
    if (breaks > 0.02) {
      add(Ask::kHold, {painter_.all(SeenColour::kWhite), painter_.dark()},
          "all pixels in white, then dark");
    }
    if (of(FaultKind::kLeadsExchanged) > 0.002) {
      for (const SeenColour colour : {SeenColour::kWhite, SeenColour::kGreen}) {
        add(Ask::kOther, {painter_.all(colour)},
            "all pixels in " + std::string{practice::to_text(colour)});
      }
    }
  }

  const Subject& subject_;
  Painter painter_;
  std::span<const Weighted> likely_;
  bool bright_;
  std::size_t round_;
  std::int32_t pixels_;
  std::vector<double> at_pixel_;
  double located_ = 0;
  std::array<double, practice::kFaultKinds> kind_{};
  std::vector<Question> questions_;
};

}  // namespace

std::vector<Question> candidates(const Subject& subject, std::span<const Weighted> likely,
                                 bool bright, std::size_t round) {
  return Candidates{subject, likely, bright, round}.all();
}

}  // namespace panewalk::find
