#include "base/arena.h"

#include <assert.h>
#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define ARENA_POISONS 1
#endif
#endif
#if defined(__SANITIZE_ADDRESS__) && !defined(ARENA_POISONS)
#define ARENA_POISONS 1
#endif

#ifdef ARENA_POISONS
#include <sanitizer/asan_interface.h>
// Sanitizer builds catch the use of what was rewound, and of what lies beyond.
#define ARENA_FORBID(start, bytes) ASAN_POISON_MEMORY_REGION((start), (bytes))
#define ARENA_ALLOW(start, bytes) ASAN_UNPOISON_MEMORY_REGION((start), (bytes))
#else
#define ARENA_FORBID(start, bytes) ((void)(start), (void)(bytes))
#define ARENA_ALLOW(start, bytes) ((void)(start), (void)(bytes))
#endif

enum { BLOCK_BYTES_MIN = 64 << 10, RED_ZONE = 16 };

typedef struct Block Block;
struct Block {
    Block *before;
    size_t size;
    size_t used;
    alignas(max_align_t) unsigned char bytes[];
};

struct Arena {
    const char *name;
    size_t limit_bytes;
    size_t held_bytes;
    Block *top;
};

Arena *arena_create(const char *name, size_t limit_bytes)
{
    Arena *arena = calloc(1, sizeof *arena);
    if (arena) {
        arena->name = name;
        arena->limit_bytes = limit_bytes;
    }
    return arena;
}

static void drop_top(Arena *arena)
{
    Block *block = arena->top;
    arena->top = block->before;
    arena->held_bytes -= block->size;
    ARENA_ALLOW(block->bytes, block->size);
    free(block);
}

void arena_destroy(Arena *arena)
{
    if (!arena) {
        return;
    }
    while (arena->top) {
        drop_top(arena);
    }
    free(arena);
}

// Sizes are limited where input is read, so this cannot be reached from outside.
static _Noreturn void stop_full(const Arena *arena, size_t bytes)
{
    (void)fprintf(stderr, "seatwright: memory \"%s\" is full: %zu more bytes wanted, limit %zu\n",
                  arena->name, bytes, arena->limit_bytes);
    abort();
}

static void add_block(Arena *arena, size_t bytes)
{
    size_t size = arena->top ? arena->top->size * 2 : BLOCK_BYTES_MIN;
    const size_t most = (size_t)8 << 20;
    size = size > most ? most : size;
    size = size < bytes ? bytes : size;
    if (size > arena->limit_bytes - arena->held_bytes) {
        size = bytes;
    }
    if (size > arena->limit_bytes - arena->held_bytes) {
        stop_full(arena, bytes);
    }
    Block *block = malloc(sizeof *block + size);
    if (!block) {
        stop_full(arena, bytes);
    }
    *block = (Block){.before = arena->top, .size = size};
    arena->held_bytes += size;
    arena->top = block;
    ARENA_FORBID(block->bytes, size);
}

void *arena_alloc(Arena *arena, size_t count, size_t item_bytes)
{
    const size_t align = alignof(max_align_t);
    if (item_bytes && count > (SIZE_MAX / 2) / item_bytes) {
        stop_full(arena, SIZE_MAX);
    }
#ifdef ARENA_POISONS
    const size_t gap = RED_ZONE;
#else
    const size_t gap = 0;
#endif
    const size_t bytes = (count * item_bytes + gap + align - 1) / align * align;
    if (!arena->top || arena->top->size - arena->top->used < bytes) {
        add_block(arena, bytes);
    }
    unsigned char *start = arena->top->bytes + arena->top->used;
    arena->top->used += bytes;
    ARENA_ALLOW(start, count * item_bytes);
    memset(start, 0, count * item_bytes);
    return start;
}

void *arena_room(Arena *arena, void *items, int count, int *capacity, size_t item_bytes)
{
    if (count < *capacity) {
        return items;
    }
    const int larger = *capacity > 0 ? 2 * *capacity : 32;
    void *copy = arena_alloc(arena, (size_t)larger, item_bytes);
    if (count > 0) {
        memcpy(copy, items, (size_t)count * item_bytes);
    }
    *capacity = larger;
    return copy;
}

ArenaMark arena_mark(const Arena *arena)
{
    return (ArenaMark){arena->top, arena->top ? arena->top->used : 0};
}

void arena_rewind(Arena *arena, ArenaMark mark)
{
    while (arena->top && arena->top != mark.block) {
        drop_top(arena);
    }
    assert(arena->top == mark.block && "the mark belongs to another arena or was rewound past");
    if (arena->top) {
        assert(mark.used <= arena->top->used);
        ARENA_FORBID(arena->top->bytes + mark.used, arena->top->size - mark.used);
        arena->top->used = mark.used;
    }
}

size_t arena_used_bytes(const Arena *arena)
{
    size_t bytes = 0;
    for (const Block *block = arena->top; block; block = block->before) {
        bytes += block->used;
    }
    return bytes;
}

char *arena_text_list(Arena *arena, const char *format, va_list values)
{
    va_list again;
    va_copy(again, values);
    const int length = vsnprintf(NULL, 0, format, values);
    assert(length >= 0);
    char *text = arena_alloc(arena, (size_t)length + 1, 1);
    (void)vsnprintf(text, (size_t)length + 1, format, again);
    va_end(again);
    return text;
}

char *arena_text(Arena *arena, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    char *text = arena_text_list(arena, format, values);
    va_end(values);
    return text;
}

char *arena_copy_text(Arena *arena, const char *text)
{
    if (!text) {
        return NULL;
    }
    const size_t bytes = strlen(text) + 1;
    return memcpy(arena_alloc(arena, bytes, 1), text, bytes);
}
