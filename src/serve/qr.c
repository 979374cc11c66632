#include "serve/qr.h"

#include <qrencode.h>

enum { QUIET = 4 }; // modules of white all round

// Of medium error correction: 15 % may be unreadable, as on a dusty screen.
static QRcode *encode(const char *content)
{
    return QRcode_encodeString(content, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
}

static bool is_dark(const QRcode *code, int x, int y)
{
    const bool inside = x >= 0 && y >= 0 && x < code->width && y < code->width;
    return inside && (code->data[(size_t)y * (size_t)code->width + (size_t)x] & 1);
}

// Each run of dark modules in a row as one rectangle.
static void add_row(const QRcode *code, int y, Text *svg)
{
    for (int x = 0; x < code->width; x++) {
        int run = 0;
        while (is_dark(code, x + run, y)) {
            run++;
        }
        if (run > 0) {
            text_add(svg, "M%d %dh%dv1h-%dz", x + QUIET, y + QUIET, run, run);
            x += run;
        }
    }
}

bool qr_svg(const char *content, const char *name, Text *svg)
{
    QRcode *code = encode(content);
    if (!code) {
        return false;
    }
    const int size = code->width + 2 * QUIET;
    text_add(svg,
             "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" role=\"img\" "
             "aria-label=\"%s\" shape-rendering=\"crispEdges\">\n"
             "<path fill=\"#fff\" d=\"M0 0h%dv%dH0z\"/>\n<path fill=\"#000\" d=\"",
             size, size, name, size, size);
    for (int y = 0; y < code->width; y++) {
        add_row(code, y, svg);
    }
    text_add(svg, "\"/>\n</svg>\n");
    QRcode_free(code);
    return true;
}

bool qr_blocks(const char *content, bool coloured, Text *lines)
{
    static const char *const blocks[2][2] = {{" ", "\u2584"}, {"\u2580", "\u2588"}};
    QRcode *code = encode(content);
    if (!code) {
        return false;
    }
    for (int y = -QUIET; y < code->width + QUIET; y += 2) {
        text_add(lines, "%s", coloured ? "\x1b[30;107m" : "");
        for (int x = -QUIET; x < code->width + QUIET; x++) {
            text_add(lines, "%s", blocks[is_dark(code, x, y)][is_dark(code, x, y + 1)]);
        }
        text_add(lines, "%s\n", coloured ? "\x1b[0m" : "");
    }
    QRcode_free(code);
    return true;
}
