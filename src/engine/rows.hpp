#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "engine/out_packet.hpp"
#include "engine/plan.hpp"
#include "engine/synchronization.hpp"
#include "light/flash_limiter.hpp"
#include "packet/cadence.hpp"
#include "packet/discovery.hpp"
#include "packet/rows.hpp"

namespace panewalk::engine {

/// Every universe that the site's props touch, as packets that are ready but for their levels.
/// After the constructor nothing allocates.
class Rows {
 public:
  Rows(const Plan& plan, const Identity& identity);
  // Packets are pointed into: it stays where it is.
  Rows(const Rows&) = delete;
  Rows& operator=(const Rows&) = delete;

  [[nodiscard]] const std::vector<Destination>& destinations() const { return destinations_; }

  /// Every universe is sent again from the next frame on.
  void wake();
  /// From the next frame on: black, then three times terminated (Art-Net: black), then silence.
  void begin_release();
  [[nodiscard]] bool all_silent() const;

  /// Writes the light of the props whose controllers are due; `due` is by controller. The light has
  /// the pixels of each prop, then the hidden chips of each. `unpacked` has what changed since the
  /// prop was packed last; what is written is taken out of it.
  void pack(const light::SafeFrame& light, const std::vector<bool>& due,
            std::span<light::Extent> unpacked);
  /// What is to be sent at `now`. Valid until the next call of send or farewell.
  [[nodiscard]] std::span<const OutPacket> send(Instant now, const std::vector<bool>& due,
                                                bool releasing);
  void send_nothing() { sync_.begin(); }
  /// What shows it where receivers are synchronized: to be sent after all of it.
  [[nodiscard]] std::span<const OutPacket> synchronization() const { return sync_.packets(); }
  /// Round 0 is black, the others terminate; for all rows that are not silent. Synchronization is
  /// at its end.
  [[nodiscard]] std::span<const OutPacket> farewell(int round);

 private:
  struct Row {
    std::variant<packet::E131Row, packet::ArtDmxRow> packet;
    packet::Cadence cadence;
    std::size_t controller = 0;
    std::uint32_t destination = 0;
    std::optional<std::size_t> sync;  ///< group of sync_
    bool changed = false;
    bool silent = true;
    int farewells = 0;  ///< of the release that goes on
  };
  /// Chips that follow each other in one row and in their list of the light.
  struct Stretch {
    std::uint8_t* out = nullptr;
    std::size_t row = 0;
    std::size_t first = 0;  ///< from 0
    std::size_t chips = 0;
  };
  /// One channel of a chip that goes on in the next universe.
  struct Split {
    std::uint8_t* out = nullptr;
    std::size_t row = 0;
    std::size_t chip = 0;  ///< from 0
    light::Component component{};
  };
  struct Chips {
    std::vector<Stretch> stretches;
    std::vector<Split> splits;
  };
  struct PropLayout {
    std::size_t controller = 0;
    light::ColourOrder order;
    Chips pixels;  ///< by index
    Chips hidden;  ///< nulls and spares, by slot
  };

  void add_rows(const Plan& plan, std::size_t controller, const Identity& identity);
  void add_sync(const Plan& plan, Row& row);
  void add_discovery(const Plan& plan, const Identity& identity);
  void lay_out(const Plan& plan, std::size_t prop);
  void lay_out(const patch::PropPatch& patch, std::span<const std::size_t> slots,
               const PropLayout& prop, Chips& chips);
  void pack(std::span<const light::Colour> colours, const PropLayout& prop, const Chips& chips,
            const light::Extent& changed);
  using Way = std::tuple<std::array<std::uint8_t, 4>, std::uint16_t, std::string, bool>;
  [[nodiscard]] std::uint32_t destination(const Destination& wanted);
  [[nodiscard]] std::size_t row_of(std::size_t controller, std::uint16_t universe) const;
  void append_release(Row& row);
  void append(Row& row, packet::Options options);
  void append_discovery(Instant now);

  bool rerouted_ = false;  // to the practice yard
  std::vector<Destination> destinations_;
  std::map<Way, std::uint32_t> destination_of_;  // empty once all are known
  std::vector<Row> rows_;
  std::vector<std::pair<std::size_t, std::uint16_t>>
      row_keys_;  ///< controller, universe; ascending
  std::vector<PropLayout> props_;
  Synchronization sync_;
  std::optional<packet::Discovery> discovery_;
  std::vector<packet::Universe> universes_;
  std::vector<std::uint32_t> discovery_destinations_;
  std::vector<std::array<std::uint8_t, 1144>> discovery_pages_;
  std::vector<OutPacket> out_;
};

}  // namespace panewalk::engine
