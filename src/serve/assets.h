// Files that lie in the program itself: pages, examples, the API's document. The table is made
// by tools/embed.py when the program is built.
#pragma once

#include <stddef.h>

typedef struct Asset {
    const char *name; ///< `page/start.css`, `example/rowing-club`, `api`
    const char *type; ///< media type
    const char *etag; ///< digest of its bytes, with its quotes
    const char *bytes;
    size_t count;
} Asset;

extern const Asset assets[];
extern const int asset_count;
