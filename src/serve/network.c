#include "serve/network.h"

#include <arpa/inet.h>
#include <errno.h>
#include <ifaddrs.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

typedef struct Block {
    uint32_t begin;
    int bits;
} Block;

static bool is_in(uint32_t address, Block block)
{
    return (address ^ block.begin) >> (32 - block.bits) == 0;
}

bool network_is_private(const char *address)
{
    static const Block blocks[] = {
        {0x0a000000, 8}, {0xac100000, 12}, {0xc0a80000, 16}, {0xa9fe0000, 16}, {0x7f000000, 8}};
    struct in_addr parsed;
    if (inet_pton(AF_INET, address, &parsed) != 1 || strcmp(address, "127.0.0.1") == 0) {
        return false;
    }
    for (size_t i = 0; i < sizeof blocks / sizeof blocks[0]; i++) {
        if (is_in(ntohl(parsed.s_addr), blocks[i])) {
            return true;
        }
    }
    return false;
}

static void add(Network *network, const struct ifaddrs *one)
{
    if (!one->ifa_addr || one->ifa_addr->sa_family != AF_INET ||
        network->count == NETWORK_ADDRESSES_MAX) {
        return;
    }
    struct sockaddr_in address;
    memcpy(&address, one->ifa_addr, sizeof address);
    NetworkAddress *next = &network->addresses[network->count];
    if (inet_ntop(AF_INET, &address.sin_addr, next->text, sizeof next->text) &&
        network_is_private(next->text) && strncmp(next->text, "127.", 4) != 0) {
        network->count++;
    }
}

bool network_find(Network *network, Problems *problems)
{
    struct ifaddrs *all = NULL;
    *network = (Network){0};
    if (getifaddrs(&all) != 0) {
        return problems_say(problems, PROBLEM_SYSTEM, "--share", "no networks can be listed: %s",
                            strerror(errno));
    }
    for (const struct ifaddrs *one = all; one; one = one->ifa_next) {
        add(network, one);
    }
    freeifaddrs(all);
    return network->count > 0 ||
           problems_add(problems,
                        (Problem){.kind = PROBLEM_SYSTEM,
                                  .where = "--share",
                                  .found = "this machine has no address in a private network",
                                  .remedy = "connect it to the workshop's network first"});
}

bool network_listen(const char *address, int *port, int *opened, Problems *problems)
{
    struct sockaddr_in at = {.sin_family = AF_INET, .sin_port = htons((uint16_t)*port)};
    socklen_t length = sizeof at;
    const int yes = 1;
    const int made =
        inet_pton(AF_INET, address, &at.sin_addr) == 1 ? socket(AF_INET, SOCK_STREAM, 0) : -1;
    const bool good =
        made >= 0 && setsockopt(made, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes) == 0 &&
        bind(made, (const struct sockaddr *)&at, sizeof at) == 0 && listen(made, SOMAXCONN) == 0 &&
        getsockname(made, (struct sockaddr *)&at, &length) == 0;
    if (good) {
        *port = ntohs(at.sin_port);
        *opened = made;
        return true;
    }
    const char *reason = errno == EADDRINUSE ? "another program listens there already"
                                             : arena_text(problems->keep, "%s", strerror(errno));
    if (made >= 0) {
        (void)close(made);
    }
    return problems_add(problems,
                        (Problem){.kind = PROBLEM_SYSTEM,
                                  .where = arena_text(problems->keep, "%s:%d", address, *port),
                                  .found = reason,
                                  .remedy = "choose another with --port; 0 is any that is free"});
}
