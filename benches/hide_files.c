#include "hide_files.h"

#include "files.h"

#include <string.h>

enum { HIDE_AREAS_MAX = 2000, PARTS_MAX = 100 };

// null stands for full quality.
static bool read_quality(const json_t *value, int *quality)
{
    *quality = json_is_null(value) ? QUALITY_FULL : (int)json_integer_value(value);
    return json_is_null(value) ||
           (json_is_integer(value) && *quality >= 0 && *quality <= QUALITY_FULL);
}

static bool read_areas(const json_t *list, Arena *keep, RealHide *hide)
{
    const size_t count = json_array_size(list);
    if (!json_is_array(list) || count > HIDE_AREAS_MAX) {
        return false;
    }
    HideArea *areas = ARENA_ARRAY(keep, HideArea, count + 1);
    for (size_t i = 0; i < count; i++) {
        const json_t *area = json_array_get(list, i);
        if (!read_quality(json_object_get(area, "quality"), &areas[i].quality) ||
            !files_ring(json_object_get(area, "polygon"), keep, &areas[i].ring)) {
            return false;
        }
    }
    hide->areas = areas;
    hide->area_count = (int)count;
    return true;
}

static bool read_hide(const json_t *from, Arena *keep, RealHide *hide)
{
    const char *id = json_string_value(json_object_get(from, "id"));
    if (!id || !files_ring(json_object_get(from, "outline"), keep, &hide->outline)) {
        return false;
    }
    hide->id = arena_copy_text(keep, id);
    return read_areas(json_object_get(from, "areas"), keep, hide);
}

static bool read_hides(const json_t *root, const char *path, RealHides *hides, Problems *problems)
{
    Arena *keep = problems->keep;
    const json_t *list = json_object_get(root, "hides");
    const size_t count = json_array_size(list);
    if (count < 1) {
        return files_refuse(problems, path, "hides", "a list of hides");
    }
    RealHide *items = ARENA_ARRAY(keep, RealHide, count);
    for (size_t i = 0; i < count; i++) {
        if (!read_hide(json_array_get(list, i), keep, &items[i])) {
            return files_refuse(problems, path, arena_text(keep, "hides[%d]", (int)i),
                                "a text `id`, an `outline` of 3 to 5000 points, and `areas`, each "
                                "with a `quality` from 0 to 4 and a `polygon`");
        }
    }
    *hides = (RealHides){items, (int)count};
    return true;
}

bool hides_read(const char *path, RealHides *hides, Problems *problems)
{
    json_t *root = files_load(path, problems);
    const bool read = root && read_hides(root, path, hides, problems);
    json_decref(root);
    return read;
}

static bool read_parts(const json_t *list, Arena *keep, HidePiece *piece)
{
    const size_t count = json_array_size(list);
    if (!json_is_array(list) || count > PARTS_MAX) {
        return false;
    }
    HidePart *parts = ARENA_ARRAY(keep, HidePart, count + 1);
    for (size_t i = 0; i < count; i++) {
        const json_t *part = json_array_get(list, i);
        if (!read_quality(json_object_get(part, "min_quality"), &parts[i].least) ||
            !files_ring(json_object_get(part, "polygon"), keep, &parts[i].ring)) {
            return false;
        }
    }
    piece->parts = parts;
    piece->part_count = (int)count;
    return true;
}

static bool read_piece(const json_t *from, Arena *keep, HidePiece *piece)
{
    const char *id = json_string_value(json_object_get(from, "id"));
    const json_t *demand = json_object_get(from, "demand");
    const json_int_t copies = json_integer_value(demand);
    if (!id || !json_is_integer(demand) || copies < 1 || copies > LAYOUT_COPIES_MAX ||
        !read_quality(json_object_get(from, "min_quality"), &piece->least) ||
        !files_ring(json_object_get(from, "outline"), keep, &piece->outline)) {
        return false;
    }
    piece->id = arena_copy_text(keep, id);
    piece->demand = (int)copies;
    return read_parts(json_object_get(from, "areas"), keep, piece);
}

static bool read_pieces(const json_t *list, double least_mm2, Arena *keep, HideProblem *problem)
{
    const size_t count = json_array_size(list);
    if (count < 1 || count > LAYOUT_PIECES_MAX) {
        return false;
    }
    HidePiece *pieces = ARENA_ARRAY(keep, HidePiece, count);
    for (size_t i = 0; i < count; i++) {
        HidePiece piece = {0};
        if (!read_piece(json_array_get(list, i), keep, &piece)) {
            return false;
        }
        if (ring_area_mm2(piece.outline) >= least_mm2) {
            pieces[problem->piece_count++] = piece;
        }
    }
    problem->pieces = pieces;
    return problem->piece_count > 0;
}

static const RealHide *hide_named(const RealHides *hides, const char *id)
{
    for (int i = 0; i < hides->count; i++) {
        if (id && strcmp(hides->items[i].id, id) == 0) {
            return &hides->items[i];
        }
    }
    return NULL;
}

static bool read_stock(const json_t *list, const RealHides *hides, HideProblem *problem)
{
    const size_t count = json_array_size(list);
    for (size_t i = 0; i < count && count <= HIDES_MAX; i++) {
        problem->stock[i] = hide_named(hides, json_string_value(json_array_get(list, i)));
        if (!problem->stock[i]) {
            return false;
        }
    }
    problem->stock_count = (int)count;
    return count >= 1 && count <= HIDES_MAX;
}

static bool read_problem(const json_t *root, const char *path, const RealHides *hides,
                         double least_mm2, HideProblem *problem, Problems *problems)
{
    Arena *keep = problems->keep;
    const char *name = json_string_value(json_object_get(root, "name"));
    if (!name) {
        return files_refuse(problems, path, "name", "a text");
    }
    problem->name = arena_copy_text(keep, name);
    if (!read_stock(json_object_get(root, "hides"), hides, problem)) {
        return files_refuse(problems, path, "hides", "1 to 50 names of hides in hides.json");
    }
    return read_pieces(json_object_get(root, "pieces"), least_mm2, keep, problem) ||
           files_refuse(problems, path, "pieces",
                        "1 to 500 pieces (not all of them too small), each with a text `id`, a "
                        "`demand` from 1 to 1000, a `min_quality` from 0 to 4 or null, an "
                        "`outline` of 3 to 5000 points and `areas`");
}

bool hide_problem_read(const char *path, const RealHides *hides, double least_mm2,
                       HideProblem *problem, Problems *problems)
{
    json_t *root = files_load(path, problems);
    HideProblem made = {0};
    const bool read = root && read_problem(root, path, hides, least_mm2, &made, problems);
    json_decref(root);
    if (read) {
        *problem = made;
    }
    return read;
}
