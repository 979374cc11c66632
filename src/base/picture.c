#include "base/picture.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

static const char breaks_off[] = "the picture breaks off";

// Bytes that are read from the front; none beyond their end.
typedef struct Bytes {
    const unsigned char *at;
    size_t left;
} Bytes;

static bool skip(Bytes *bytes, size_t count)
{
    if (count > bytes->left) {
        return false;
    }
    bytes->at += count;
    bytes->left -= count;
    return true;
}

static uint32_t whole_at(const unsigned char *at, int count)
{
    uint32_t value = 0;
    for (int i = 0; i < count; i++) {
        value = value << 8 | at[i];
    }
    return value;
}

static const char *take_size(uint32_t width, uint32_t height, const char *type, PictureHead *head)
{
    if (width == 0 || height == 0) {
        return "the picture is empty";
    }
    if (width > PICTURE_SIDE_MAX_PX || height > PICTURE_SIDE_MAX_PX ||
        width * height > PICTURE_MAX_PX) {
        return "the picture has more points than may be";
    }
    *head = (PictureHead){type, (int)width, (int)height};
    return NULL;
}

static const char *read_png(Bytes bytes, PictureHead *head)
{
    enum { CHUNK_HEAD = 8, CHUNK_SUM = 4, HEADER_BYTES = 13 };
    bool has_data = false;
    PictureHead found = {0};
    for (bool first = true; bytes.left >= CHUNK_HEAD; first = false) {
        const uint32_t length = whole_at(bytes.at, 4);
        const unsigned char *chunk = bytes.at + 4;
        const unsigned char *data = bytes.at + CHUNK_HEAD;
        if (!skip(&bytes, (size_t)length + CHUNK_HEAD + CHUNK_SUM)) {
            return breaks_off;
        }
        if (first) {
            if (length != HEADER_BYTES || memcmp(chunk, "IHDR", 4) != 0) {
                return "the picture has no header";
            }
            const char *wrong =
                take_size(whole_at(data, 4), whole_at(data + 4, 4), "image/png", &found);
            if (wrong) {
                return wrong;
            }
        }
        has_data = has_data || memcmp(chunk, "IDAT", 4) == 0;
        if (memcmp(chunk, "IEND", 4) == 0) {
            *head = found;
            return has_data ? NULL : "the picture is empty";
        }
    }
    return breaks_off;
}

// Which way up it is shown, 1 to 8, from the first directory of an Exif segment; 1 when it does
// not say.
static int exif_orientation(const unsigned char *data, size_t count)
{
    enum { MARK = 6, TIFF_HEAD = 8, ENTRY = 12, ORIENTATION = 0x0112, ORIENTATION_MAX = 8 };
    if (count < MARK + TIFF_HEAD || memcmp(data, "Exif\0\0", MARK) != 0) {
        return 1;
    }
    const unsigned char *tiff = data + MARK;
    const size_t room = count - MARK;
    const bool little = tiff[0] == 'I';
    unsigned char turned[4];
    size_t at = 4;
    for (int i = 0; i < 4; i++) {
        turned[i] = tiff[at + (size_t)(little ? 3 - i : i)];
    }
    at = whole_at(turned, 4);
    if (at > room || room - at < 2) {
        return 1;
    }
    const size_t entries = little ? tiff[at] | (size_t)tiff[at + 1] << 8 : whole_at(tiff + at, 2);
    at += 2;
    for (size_t i = 0; i < entries && room - at >= ENTRY; i++, at += ENTRY) {
        const unsigned char *entry = tiff + at;
        const unsigned tag =
            little ? entry[0] | (unsigned)entry[1] << 8 : (unsigned)whole_at(entry, 2);
        const unsigned value =
            little ? entry[8] | (unsigned)entry[9] << 8 : (unsigned)whole_at(entry + 8, 2);
        if (tag == ORIENTATION) {
            return value >= 1 && value <= ORIENTATION_MAX ? (int)value : 1;
        }
    }
    return 1;
}

static bool begins_frame(unsigned char marker)
{
    return marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc;
}

// Behind the start of the scan: the mark that ends the picture must come.
static bool has_end(Bytes bytes)
{
    for (size_t i = 0; i + 1 < bytes.left; i++) {
        if (bytes.at[i] == 0xff && bytes.at[i + 1] == 0xd9) {
            return true;
        }
    }
    return false;
}

static const char *end_jpeg(Bytes scan, bool turned, PictureHead found, PictureHead *head)
{
    if (!found.type) {
        return "the picture has no header";
    }
    if (!has_end(scan)) {
        return breaks_off;
    }
    *head = turned ? (PictureHead){found.type, found.height_px, found.width_px} : found;
    return NULL;
}

static const char *read_jpeg(Bytes bytes, PictureHead *head)
{
    enum { FRAME_BYTES = 8, SCAN = 0xda, APP1 = 0xe1, TURNED_FROM = 5 };
    PictureHead found = {0};
    int orientation = 1;
    while (bytes.left >= 4) {
        if (bytes.at[0] != 0xff) {
            return "the picture is damaged";
        }
        const unsigned char marker = bytes.at[1];
        if (marker == 0xff) { // a filling byte
            (void)skip(&bytes, 1);
            continue;
        }
        const size_t length = whole_at(bytes.at + 2, 2);
        const unsigned char *data = bytes.at + 4;
        if (marker < 0xc0 || (marker >= 0xd0 && marker <= 0xd9) || length < 2) {
            return "the picture is damaged";
        }
        if (!skip(&bytes, 2 + length)) {
            return breaks_off;
        }
        if (begins_frame(marker) && length >= FRAME_BYTES) {
            const char *wrong =
                take_size(whole_at(data + 3, 2), whole_at(data + 1, 2), "image/jpeg", &found);
            if (wrong) {
                return wrong;
            }
        } else if (marker == APP1) {
            const int said = exif_orientation(data, length - 2);
            orientation = said > 1 ? said : orientation;
        } else if (marker == SCAN) {
            return end_jpeg(bytes, orientation >= TURNED_FROM, found, head);
        }
    }
    return breaks_off;
}

const char *picture_head_read(const char *bytes, size_t count, PictureHead *head)
{
    static const char png[] = "\x89PNG\r\n\x1a\n";
    Bytes all = {(const unsigned char *)bytes, count};
    if (count >= sizeof png - 1 && memcmp(bytes, png, sizeof png - 1) == 0) {
        (void)skip(&all, sizeof png - 1);
        return read_png(all, head);
    }
    if (count >= 3 && memcmp(bytes, "\xff\xd8\xff", 3) == 0) {
        (void)skip(&all, 2);
        return read_jpeg(all, head);
    }
    return "it is neither a JPEG nor a PNG picture";
}
