#include "base/arena.h"

#include "support/check.h"

static void memory_comes_zeroed_and_aligned(void **state)
{
    for (size_t bytes = 1; bytes < 200; bytes += 7) {
        unsigned char *memory = arena_alloc(*state, bytes, 1);
        assert_int_equal((uintptr_t)memory % sizeof(max_align_t) % 16, 0);
        for (size_t i = 0; i < bytes; i++) {
            assert_int_equal(memory[i], 0);
            memory[i] = 0xA5;
        }
    }
}

static void rewinding_gives_memory_back_and_zeroes_it_again(void **state)
{
    arena_alloc(*state, 100, 1);
    const size_t before = arena_used_bytes(*state);
    const ArenaMark mark = arena_mark(*state);
    for (int i = 0; i < 100; i++) {
        memset(arena_alloc(*state, 10000, 1), 7, 10000);
    }
    arena_rewind(*state, mark);
    assert_int_equal(arena_used_bytes(*state), before);
    const unsigned char *again = arena_alloc(*state, 10000, 1);
    for (int i = 0; i < 10000; i++) {
        assert_int_equal(again[i], 0);
    }
}

static void a_mark_of_an_empty_arena_empties_it(void **state)
{
    const ArenaMark mark = arena_mark(*state);
    arena_alloc(*state, 1 << 20, 1);
    arena_rewind(*state, mark);
    assert_int_equal(arena_used_bytes(*state), 0);
}

static void texts_are_formatted_and_kept(void **state)
{
    const char *text = arena_text(*state, "%s is %d mm", "front", 457);
    arena_text(*state, "something else");
    assert_string_equal(text, "front is 457 mm");
    assert_null(arena_copy_text(*state, NULL));
}

static void a_growing_list_keeps_what_it_holds(void **state)
{
    int *items = NULL;
    int capacity = 0;
    for (int i = 0; i < 1000; i++) {
        items = arena_room(*state, items, i, &capacity, sizeof *items);
        assert_true(capacity > i);
        items[i] = i;
    }
    for (int i = 0; i < 1000; i++) {
        assert_int_equal(items[i], i);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(memory_comes_zeroed_and_aligned),
        TEST_IN_ARENA(rewinding_gives_memory_back_and_zeroes_it_again),
        TEST_IN_ARENA(a_mark_of_an_empty_arena_empties_it),
        TEST_IN_ARENA(texts_are_formatted_and_kept),
        TEST_IN_ARENA(a_growing_list_keeps_what_it_holds),
    };
    return cmocka_run_group_tests_name("base/arena", tests, NULL, NULL);
}
