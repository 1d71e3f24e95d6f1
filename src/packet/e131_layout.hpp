#pragma once

#include "packet/field.hpp"

/// E1.31-2018, every number high octet first.
///
///   root layer (38 octets)
///     data framing layer (77) + DMP layer (11 + slots)           126 to 638
///     synchronization framing layer (11)                         49
///     discovery framing layer (74) + universe list (8 + 2 each)  120 to 1144
///
/// Each layer begins with Flags & Length: 0x7 in the top 4 bits, in the low 12 the octets from this
/// field to the end of the datagram.
namespace panewalk::packet::e131 {

// Root layer, clause 5, Table 5-4.
namespace root {
inline constexpr Field kPreambleSize{0, 2};     // 5.1  0x0010
inline constexpr Field kPostambleSize{2, 2};    // 5.2  0x0000
inline constexpr Field kIdentifier{4, 12};      // 5.3  "ASC-E1.17"
inline constexpr Field kFlagsAndLength{16, 2};  // 5.4
inline constexpr Field kVector{18, 4};          // 5.5
inline constexpr Field kCid{22, 16};            // 5.6
static_assert(adjoin({kPreambleSize, kPostambleSize, kIdentifier, kFlagsAndLength, kVector, kCid}));
}  // namespace root

// Data packet, Table 4-1: framing layer clause 6.2, DMP layer clause 7.
namespace data {
inline constexpr Field kFlagsAndLength{38, 2};       // 6.1
inline constexpr Field kVector{40, 4};               // 6.2.1
inline constexpr Field kSourceName{44, 64};          // 6.2.2
inline constexpr Field kPriority{108, 1};            // 6.2.3
inline constexpr Field kSyncAddress{109, 2};         // 6.2.4
inline constexpr Field kSequence{111, 1};            // 6.2.5
inline constexpr Field kOptions{112, 1};             // 6.2.6
inline constexpr Field kUniverse{113, 2};            // 6.2.7
inline constexpr Field kDmpFlagsAndLength{115, 2};   // 7.1
inline constexpr Field kDmpVector{117, 1};           // 7.2
inline constexpr Field kAddressAndDataType{118, 1};  // 7.3
inline constexpr Field kFirstAddress{119, 2};        // 7.4
inline constexpr Field kIncrement{121, 2};           // 7.5
inline constexpr Field kValueCount{123, 2};          // 7.6
inline constexpr Field kStartCode{125, 1};           // 7.7
inline constexpr Field kSlots{126, 512};             // 7.7  at most
static_assert(adjoin({root::kCid, kFlagsAndLength, kVector, kSourceName, kPriority, kSyncAddress,
                      kSequence, kOptions, kUniverse, kDmpFlagsAndLength, kDmpVector,
                      kAddressAndDataType, kFirstAddress, kIncrement, kValueCount, kStartCode,
                      kSlots}));
static_assert(kSlots.end() == 638);
}  // namespace data

// Synchronization packet, Table 4-2, clause 6.3.
namespace sync {
inline constexpr Field kFlagsAndLength{38, 2};  // 6.1
inline constexpr Field kVector{40, 4};          // 6.3.1
inline constexpr Field kSequence{44, 1};        // 6.3.2
inline constexpr Field kAddress{45, 2};         // 6.3.3.1
inline constexpr Field kReserved{47, 2};        // 6.3.4
static_assert(adjoin({root::kCid, kFlagsAndLength, kVector, kSequence, kAddress, kReserved}));
static_assert(kReserved.end() == 49);
}  // namespace sync

// Universe discovery packet, Table 4-3: framing layer clause 6.4, list layer clause 8.
namespace discovery {
inline constexpr Field kFlagsAndLength{38, 2};       // 6.1
inline constexpr Field kVector{40, 4};               // 6.4.1
inline constexpr Field kSourceName{44, 64};          // 6.4.2
inline constexpr Field kReserved{108, 4};            // 6.4.3
inline constexpr Field kListFlagsAndLength{112, 2};  // 8.1
inline constexpr Field kListVector{114, 4};          // 8.2
inline constexpr Field kPage{118, 1};                // 8.3
inline constexpr Field kLastPage{119, 1};            // 8.4
inline constexpr Field kList{120, 1024};             // 8.5  at most, 2 octets each
static_assert(adjoin({root::kCid, kFlagsAndLength, kVector, kSourceName, kReserved,
                      kListFlagsAndLength, kListVector, kPage, kLastPage, kList}));
static_assert(kList.end() == 1144);
}  // namespace discovery

}  // namespace panewalk::packet::e131
