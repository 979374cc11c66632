// What is kept beside jobs and hides: layouts as they were cut, offers, pictures to trace.
//
// The bytes of a keepsake never change; a newer one is put beside it, or in its place. It can be
// put away, and given to another owner. A layout belongs to the version of the job that it was made
// for.
#pragma once

#include "store/store.h"

typedef enum KeepsakeKind {
    KEEPSAKE_LAYOUT,
    KEEPSAKE_OFFER,
    KEEPSAKE_PICTURE,
    KEEPSAKE_KIND_COUNT
} KeepsakeKind;
extern const char *const keepsake_kind_names[KEEPSAKE_KIND_COUNT]; ///< layout, offer, picture

enum {
    KEEPSAKE_NAME_MAX = 200, ///< bytes
    LAYOUT_BYTES_MAX = 64 << 20,
    OFFER_BYTES_MAX = 1 << 20,
    PICTURE_BYTES_MAX = 64 << 20,
    PICTURES_MAX = 2000, ///< in one file, those put away too
};

typedef struct Keepsake {
    int64_t id;      ///< in this file
    const char *uid; ///< everywhere: 32 hexadecimal digits
    KeepsakeKind kind;
    int64_t record;   ///< the job or hide that it belongs to; 0: none
    int64_t version;  ///< of that; 0: of all
    const char *name; ///< one line
    const char *type; ///< media type: `application/json`, `image/jpeg`
    int64_t kept_ms;
    size_t bytes;
    bool away;
} Keepsake;

typedef struct Keepsakes {
    Keepsake *items; ///< the newest first
    int count;
} Keepsakes;

/// A keepsake to be.
typedef struct NewKeepsake {
    KeepsakeKind kind;
    int64_t record;
    int64_t version; ///< a layout needs one
    const char *name;
    Document document;
} NewKeepsake;

/// Keeps it; *id is its number in this file. Its type is found from its bytes: a picture may be
/// JPEG, PNG, WebP, HEIC or TIFF; layouts and offers are JSON.
///
/// Errors   no such record or version; too large; no picture of these sorts; PICTURES_MAX are
///          there already; a name that is
///          empty, too long or more than a line; as saves.
MUST_CHECK bool keepsake_put(Store *store, const NewKeepsake *keepsake, int64_t *id,
                             Problems *problems);

/// As keepsake_put(), in the place of `instead`, which is gone then if it has the same kind, owner,
/// version and name; any other stays, as what somebody else put meanwhile does.
MUST_CHECK bool keepsake_put_instead(Store *store, const NewKeepsake *keepsake, int64_t instead,
                                     int64_t *id, Problems *problems);

/// What is looked for, of one kind; zeros elsewhere mean any.
typedef struct KeepsakeSearch {
    KeepsakeKind kind;
    int64_t id;
    const char *uid;
    int64_t record;
    int64_t version;
    bool away; ///< those put away as well
} KeepsakeSearch;

/// The newest first; none is no error.
MUST_CHECK bool keepsakes_find(Store *store, const KeepsakeSearch *search, Arena *keep,
                               Keepsakes *keepsakes, Problems *problems);

/// Its bytes. Errors   no such keepsake; damage.
MUST_CHECK bool keepsake_read(Store *store, int64_t id, Arena *keep, Document *document,
                              Problems *problems);

/// Puts it away, or takes it out again. It stays in the file.
MUST_CHECK bool keepsake_put_away(Store *store, int64_t id, bool away, Problems *problems);

/// Gives it to another job or hide, all versions of it. Errors   no such keepsake or record.
MUST_CHECK bool keepsake_give(Store *store, int64_t id, int64_t record, Problems *problems);

/// The media type of a keepsake's bytes, or NULL when it is none that may be kept as such.
const char *keepsake_type(KeepsakeKind kind, Document document);
