#include "base/sha256.h"

#include <string.h>

enum { BLOCK = 64, ROUNDS = 64, LENGTH_BYTES = 8 };

// The first 32 bits of the fractional parts of the cube roots of the first 64 primes.
static const uint32_t round_words[ROUNDS] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

static uint32_t turned(uint32_t word, int bits)
{
    return word >> bits | word << (32 - bits);
}

static void spread(const uint8_t block[BLOCK], uint32_t words[ROUNDS])
{
    for (int i = 0; i < 16; i++) {
        const uint8_t *at = block + (size_t)4 * (size_t)i;
        words[i] = (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
    }
    for (int i = 16; i < ROUNDS; i++) {
        const uint32_t near = words[i - 2];
        const uint32_t far = words[i - 15];
        words[i] = (turned(near, 17) ^ turned(near, 19) ^ near >> 10) + words[i - 7] +
                   (turned(far, 7) ^ turned(far, 18) ^ far >> 3) + words[i - 16];
    }
}

static void add_block(uint32_t state[8], const uint8_t block[BLOCK])
{
    uint32_t words[ROUNDS];
    uint32_t s[8];
    spread(block, words);
    memcpy(s, state, sizeof s);
    for (int i = 0; i < ROUNDS; i++) {
        const uint32_t choice = (s[4] & s[5]) ^ (~s[4] & s[6]);
        const uint32_t most = (s[0] & s[1]) ^ (s[0] & s[2]) ^ (s[1] & s[2]);
        const uint32_t first = s[7] + (turned(s[4], 6) ^ turned(s[4], 11) ^ turned(s[4], 25)) +
                               choice + round_words[i] + words[i];
        const uint32_t second = (turned(s[0], 2) ^ turned(s[0], 13) ^ turned(s[0], 22)) + most;
        memmove(s + 1, s, 7 * sizeof *s);
        s[4] += first;
        s[0] = first + second;
    }
    for (int i = 0; i < 8; i++) {
        state[i] += s[i];
    }
}

void sha256(const void *bytes, size_t count, uint8_t digest[SHA256_BYTES])
{
    // The first 32 bits of the fractional parts of the square roots of the first 8 primes.
    uint32_t state[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                         0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    const uint8_t *at = bytes;
    size_t left = count;
    for (; left >= BLOCK; left -= BLOCK, at += BLOCK) {
        add_block(state, at);
    }
    // A bit of 1, zeros, and the length in bits; in a block more where they do not fit.
    uint8_t tail[2 * BLOCK] = {0};
    const size_t room = left + 1 + LENGTH_BYTES <= BLOCK ? BLOCK : (size_t)2 * BLOCK;
    if (left > 0) {
        memcpy(tail, at, left);
    }
    tail[left] = 0x80;
    for (int i = 0; i < LENGTH_BYTES; i++) {
        tail[room - 1 - (size_t)i] = (uint8_t)((uint64_t)count * 8 >> 8 * i);
    }
    for (size_t i = 0; i < room; i += BLOCK) {
        add_block(state, tail + i);
    }
    for (int i = 0; i < SHA256_BYTES; i++) {
        digest[i] = (uint8_t)(state[i / 4] >> (24 - 8 * (i % 4)));
    }
}
