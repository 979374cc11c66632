// What the head of a picture file says, JPEG or PNG. Nothing is decoded.
//
// Whoever takes a picture from somebody wants to know before anybody decodes it what it really
// is, how large it becomes, and whether it is all there. Sources: ITU-T T.81 (JPEG), annex B;
// ISO/IEC 15948 (PNG), clauses 5 and 11; Exif 2.3, tag 0x0112 (which way up it is shown).
#pragma once

#include "base/attributes.h"

#include <stddef.h>

enum {
    PICTURE_SIDE_MAX_PX = 16384,
    PICTURE_MAX_PX = 64000000, ///< in all: a quarter of a GiB once a browser has decoded it
};

typedef struct PictureHead {
    const char *type; ///< `image/jpeg`, `image/png`
    int width_px;     ///< as it is shown, turned as Exif says
    int height_px;
} PictureHead;

/// Reads it. NULL when it is good; else what is wrong, in words, and *head is untouched.
///
/// Method   the file's parts are walked from the first to the one that ends it: a file that breaks
///          off, or has another kind of file behind a good name, is told.
MUST_CHECK const char *picture_head_read(const char *bytes, size_t count, PictureHead *head);
