#include "base/picture.h"

#include "support/check.h"

#include <stdlib.h>
#include <string.h>

// Put together as ISO/IEC 15948 and ITU-T T.81 say: what a picture file must have, and no more.

typedef struct File {
    char bytes[512];
    size_t count;
} File;

static void add(File *file, const char *bytes, size_t count)
{
    assert_true(file->count + count <= sizeof file->bytes);
    memcpy(file->bytes + file->count, bytes, count);
    file->count += count;
}
#define ADD(file, literal) add(file, literal, sizeof(literal) - 1)

static File png_of(const char size[8])
{
    File file = {.count = 0};
    ADD(&file, "\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR");
    add(&file, size, 8);
    ADD(&file, "\x08\x02\0\0\0sum.");
    ADD(&file, "\0\0\0\x02IDAT..sum.");
    ADD(&file, "\0\0\0\0IENDsum.");
    return file;
}

// SOI, a frame of so many rows and columns, a scan, EOI.
static File jpeg_of(const char size[4])
{
    File file = {.count = 0};
    ADD(&file, "\xff\xd8\xff\xe0\0\x10JFIF\0\1\1\0\0\1\0\1\0\0");
    ADD(&file, "\xff\xc0\0\x0b\x08");
    add(&file, size, 4);
    ADD(&file, "\1\1\x11\0\xff\xda\0\x08\1\1\0\0\x3f\0....\xff\xd9");
    return file;
}

static const char *read(const File *file, PictureHead *head)
{
    return picture_head_read(file->bytes, file->count, head);
}

static void sizes_are_those_of_the_header(void **state)
{
    (void)state;
    PictureHead head;
    const File png = png_of("\0\0\x02\x80\0\0\x01\xe0");
    assert_null(read(&png, &head));
    assert_string_equal(head.type, "image/png");
    assert_int_equal(head.width_px, 640);
    assert_int_equal(head.height_px, 480);
    const File jpeg = jpeg_of("\x01\xe0\x02\x80");
    assert_null(read(&jpeg, &head));
    assert_string_equal(head.type, "image/jpeg");
    assert_int_equal(head.width_px, 640);
    assert_int_equal(head.height_px, 480);
    // Before a marker any number of bytes 0xff may stand (ITU-T T.81, B.1.1.2).
    File filled = {.count = 0};
    add(&filled, jpeg.bytes, 2);
    ADD(&filled, "\xff\xff");
    add(&filled, jpeg.bytes + 2, jpeg.count - 2);
    head = (PictureHead){0};
    assert_null(read(&filled, &head));
    assert_int_equal(head.width_px, 640);
}

static File turned_jpeg(const char *tiff, size_t count)
{
    File file = {.count = 0};
    ADD(&file, "\xff\xd8\xff\xe1\0");
    const char length = (char)(2 + 6 + count);
    add(&file, &length, 1);
    ADD(&file, "Exif\0\0");
    add(&file, tiff, count);
    const File plain = jpeg_of("\x01\xe0\x02\x80");
    add(&file, plain.bytes + 2, plain.count - 2);
    return file;
}

static void a_picture_turned_by_a_quarter_is_as_it_is_shown(void **state)
{
    (void)state;
    PictureHead head;
    static const char little[] = "II*\0\x08\0\0\0\1\0\x12\x01\3\0\1\0\0\0\6\0\0\0";
    static const char big[] = "MM\0*\0\0\0\x08\0\1\x01\x12\0\3\0\0\0\1\0\6\0\0";
    static const char upright[] = "II*\0\x08\0\0\0\1\0\x12\x01\3\0\1\0\0\0\3\0\0\0";
    static const char wild[] = "II*\0\xff\xff\xff\xff\1\0\x12\x01\3\0\1\0\0\0\6\0\0\0";
    const struct {
        const char *tiff;
        int width_px;
    } cases[] = {{little, 480}, {big, 480}, {upright, 640}, {wild, 640}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const File file = turned_jpeg(cases[i].tiff, sizeof little - 1);
        assert_null(read(&file, &head));
        assert_int_equal(head.width_px, cases[i].width_px);
        assert_int_equal(head.height_px, 1120 - cases[i].width_px);
    }
}

static void a_picture_that_breaks_off_is_told_wherever_it_does(void **state)
{
    (void)state;
    const File files[] = {png_of("\0\0\x02\x80\0\0\x01\xe0"), jpeg_of("\x01\xe0\x02\x80")};
    for (size_t f = 0; f < 2; f++) {
        for (size_t count = 1; count < files[f].count; count++) {
            PictureHead head = {.width_px = -1};
            // A copy of just that length, so that a byte read too far is found.
            char *part = malloc(count);
            memcpy(part, files[f].bytes, count);
            assert_non_null(picture_head_read(part, count, &head));
            assert_int_equal(head.width_px, -1);
            free(part);
        }
    }
}

static void what_would_become_too_large_is_told(void **state)
{
    (void)state;
    PictureHead head;
    const struct {
        const char *size;
        bool good;
    } cases[] = {{"\0\0\x1f\x40\0\0\x1f\x40", true},  // 8000 by 8000: just 64 million
                 {"\0\0\x1f\x40\0\0\x1f\x41", false}, // one row more
                 {"\0\0\x40\0\0\0\0\1", true},        // 16384 wide
                 {"\0\0\x40\1\0\0\0\1", false},       // and one more
                 {"\0\0\0\1\x7f\xff\xff\xff", false}, // a bomb
                 {"\xff\xff\xff\xff\xff\xff\xff\xff", false},
                 {"\0\0\0\0\0\0\0\1", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const File file = png_of(cases[i].size);
        assert_int_equal(read(&file, &head) == NULL, cases[i].good);
    }
    const File empty = jpeg_of("\0\0\x02\x80");
    assert_non_null(read(&empty, &head));
}

static void other_files_are_no_pictures(void **state)
{
    (void)state;
    PictureHead head;
    static const char *const others[] = {
        "",         "GIF89a....",           "<svg xmlns=", "RIFF....WEBPVP8 ",
        "\xff\xd8", "\xff\xd8\xff\xd9....", "%PDF-1.7"};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        assert_non_null(picture_head_read(others[i], strlen(others[i]), &head));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sizes_are_those_of_the_header),
        cmocka_unit_test(a_picture_turned_by_a_quarter_is_as_it_is_shown),
        cmocka_unit_test(a_picture_that_breaks_off_is_told_wherever_it_does),
        cmocka_unit_test(what_would_become_too_large_is_told),
        cmocka_unit_test(other_files_are_no_pictures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
