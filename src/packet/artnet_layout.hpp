#pragma once

#include "packet/field.hpp"

/// Art-Net 4. The standard numbers no clauses: the names are those of its packet tables. Numbers
/// are high octet first but for the OpCode and, in ArtPollReply, Port and EstaMan.
namespace panewalk::packet::artnet {

// All packets; ArtPollReply has no ProtVer.
inline constexpr Field kId{0, 8};        // "Art-Net" NUL
inline constexpr Field kOpCode{8, 2};    // low octet first
inline constexpr Field kProtVer{10, 2};  // 14
static_assert(adjoin({kId, kOpCode, kProtVer}));

// Table ArtDmx: 18 + Length octets.
namespace dmx {
inline constexpr Field kSequence{12, 1};
inline constexpr Field kPhysical{13, 1};
inline constexpr Field kSubUni{14, 1};
inline constexpr Field kNet{15, 1};
inline constexpr Field kLength{16, 2};  // even, 2 to 512
inline constexpr Field kData{18, 512};  // at most
static_assert(adjoin({kProtVer, kSequence, kPhysical, kSubUni, kNet, kLength, kData}));
static_assert(kData.end() == 530);
}  // namespace dmx

// Table ArtSync: 14 octets.
namespace sync {
inline constexpr Field kAux1{12, 1};
inline constexpr Field kAux2{13, 1};
static_assert(adjoin({kProtVer, kAux1, kAux2}));
}  // namespace sync

// Table ArtPoll: 14 octets, 18 with the target range, 22 with who polls.
namespace poll {
inline constexpr Field kFlags{12, 1};
inline constexpr Field kDiagPriority{13, 1};
inline constexpr Field kTargetTop{14, 2};
inline constexpr Field kTargetBottom{16, 2};
inline constexpr Field kEstaMan{18, 2};
inline constexpr Field kOem{20, 2};
static_assert(adjoin({kProtVer, kFlags, kDiagPriority, kTargetTop, kTargetBottom, kEstaMan, kOem}));
}  // namespace poll

// Table ArtPollReply: 239 octets, 207 in the oldest revision.
namespace reply {
inline constexpr Field kIp{10, 4};
inline constexpr Field kPort{14, 2};  // low octet first
inline constexpr Field kVersInfo{16, 2};
inline constexpr Field kNetSwitch{18, 1};
inline constexpr Field kSubSwitch{19, 1};
inline constexpr Field kOem{20, 2};
inline constexpr Field kUbeaVersion{22, 1};
inline constexpr Field kStatus1{23, 1};
inline constexpr Field kEstaMan{24, 2};  // low octet first
inline constexpr Field kPortName{26, 18};
inline constexpr Field kLongName{44, 64};
inline constexpr Field kNodeReport{108, 64};
inline constexpr Field kNumPorts{172, 2};
inline constexpr Field kPortTypes{174, 4};
inline constexpr Field kGoodInput{178, 4};
inline constexpr Field kGoodOutputA{182, 4};
inline constexpr Field kSwIn{186, 4};
inline constexpr Field kSwOut{190, 4};
inline constexpr Field kAcnPriority{194, 1};
inline constexpr Field kSwMacro{195, 1};
inline constexpr Field kSwRemote{196, 1};
inline constexpr Field kSpare{197, 3};
inline constexpr Field kStyle{200, 1};
inline constexpr Field kMac{201, 6};
inline constexpr Field kBindIp{207, 4};
inline constexpr Field kBindIndex{211, 1};
inline constexpr Field kStatus2{212, 1};
inline constexpr Field kGoodOutputB{213, 4};
inline constexpr Field kStatus3{217, 1};
inline constexpr Field kDefaultRespUid{218, 6};
inline constexpr Field kUser{224, 2};  // high octet first: from memory
inline constexpr Field kRefreshRate{226, 2};
inline constexpr Field kBackgroundQueuePolicy{228, 1};
inline constexpr Field kFiller{229, 10};
static_assert(adjoin({kOpCode,
                      kIp,
                      kPort,
                      kVersInfo,
                      kNetSwitch,
                      kSubSwitch,
                      kOem,
                      kUbeaVersion,
                      kStatus1,
                      kEstaMan,
                      kPortName,
                      kLongName,
                      kNodeReport,
                      kNumPorts,
                      kPortTypes,
                      kGoodInput,
                      kGoodOutputA,
                      kSwIn,
                      kSwOut,
                      kAcnPriority,
                      kSwMacro,
                      kSwRemote,
                      kSpare,
                      kStyle,
                      kMac,
                      kBindIp,
                      kBindIndex,
                      kStatus2,
                      kGoodOutputB,
                      kStatus3,
                      kDefaultRespUid,
                      kUser,
                      kRefreshRate,
                      kBackgroundQueuePolicy,
                      kFiller}));
static_assert(kMac.end() == 207 && kFiller.end() == 239);
}  // namespace reply

}  // namespace panewalk::packet::artnet
