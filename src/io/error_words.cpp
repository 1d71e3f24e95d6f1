#include "io/error_words.hpp"

#include <cerrno>
#include <system_error>

namespace panewalk::io {

std::string_view in_words(int error) {
  switch (error) {
    case 0: return "no error";
    case ECONNREFUSED: return "nothing listens there";
    case EHOSTUNREACH: return "it does not answer on the network";
    case ENETUNREACH: return "no network leads there";
    case ENETDOWN: return "the network is down";
    case ENODEV:
    case ENXIO: return "the network card is gone";
    case EADDRNOTAVAIL: return "the network card does not have the address any more";
    case EPERM: return "a firewall here forbids it";
    case EACCES: return "the address is a broadcast address, which no levels are sent to";
    case EMSGSIZE: return "the packet is too large for the network";
    case ENOBUFS: return "the network card's queue is full";
    case EAGAIN: return "the socket's queue is full";
    case ENOPROTOOPT: return "it does not take the protocol";
    default: return "the network refused the packet";
  }
}

std::string_view remedy_for(int error) {
  switch (error) {
    case ECONNREFUSED: return "check that the controller takes this protocol, and on this port";
    case EHOSTUNREACH: return "check the controller's power, its cable and its address";
    case ENETUNREACH:
    case ENETDOWN:
    case ENODEV:
    case ENXIO:
    case EADDRNOTAVAIL: return "check this machine's network cable and address";
    case EPERM: return "allow outgoing UDP to the controller in the firewall";
    case EACCES: return "give the controller's own address";
    case ENOBUFS:
    case EAGAIN: return "lower the rate, give its controller a \"burst\", or use a faster link";
    default: return "";
  }
}

std::string system_text(int error) { return std::generic_category().message(error); }

}  // namespace panewalk::io
