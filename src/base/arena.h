// Arenas: memory that is given back all at once.
//
// Two parameter names carry the whole convention:
//   keep     the result stays here; the caller decides when it ends
//   scratch  used while the function runs, given back before it returns
// They are never the same arena. One arena for each thread; an arena is a chain
// of blocks that grows up to a stated limit. Sizes are limited where input is
// read, so a full arena is a defect: the process says which arena, and stops.
#pragma once

#include "base/attributes.h"

#include <stdarg.h>
#include <stddef.h>

typedef struct Arena Arena;

/// A place to come back to; made by arena_mark(), used by arena_rewind().
typedef struct ArenaMark {
    void *block;
    size_t used;
} ArenaMark;

/// A new arena, or NULL when the system has no memory left.
/// `name` shows up in the message of a full arena and must outlive it.
MUST_CHECK Arena *arena_create(const char *name, size_t limit_bytes);

/// Accepts NULL.
void arena_destroy(Arena *arena);

/// Zeroed memory for `count` items, aligned for any type. Never NULL.
void *arena_alloc(Arena *arena, size_t count, size_t item_bytes);
#define ARENA_ARRAY(arena, Type, count)                                                            \
    ((Type *)arena_alloc((arena), (size_t)(count), sizeof(Type)))
#define ARENA_NEW(arena, Type) ARENA_ARRAY(arena, Type, 1)

/// Room for one more in a growing list: `items` itself while `count` is below
/// *capacity, else a copy with twice the room (at least 32), zeroed behind the copy.
/// The old list stays where it is until the arena is rewound.
void *arena_room(Arena *arena, void *items, int count, int *capacity, size_t item_bytes);

ArenaMark arena_mark(const Arena *arena);
void arena_rewind(Arena *arena, ArenaMark mark);

/// Bytes in use now, for reports and tests.
size_t arena_used_bytes(const Arena *arena);

/// A formatted text that lives in the arena.
char *arena_text(Arena *arena, const char *format, ...) PRINTF_LIKE(2, 3);
/// The same from a list of values, which is used up.
char *arena_text_list(Arena *arena, const char *format, va_list values) PRINTF_LIKE(2, 0);

/// A copy of `text`; NULL stays NULL.
char *arena_copy_text(Arena *arena, const char *text);
