// Pictures to trace. The server looks at their heads only; whoever shows them decodes them.
#include "serve/handlers.h"

#include "base/picture.h"
#include "store/keepsakes.h"

static void put_keepsake(Json *json, const Keepsake *picture)
{
    json_begin_flat_object(json, NULL);
    json_text(json, "uid", picture->uid);
    json_text(json, "name", picture->name);
    json_int(json, "of", picture->record);
    json_int(json, "kept_ms", picture->kept_ms);
    json_int(json, "bytes", (long long)picture->bytes);
    json_bool(json, "away", picture->away);
    json_end_object(json);
}

void answer_pictures(Desk *desk, const Request *request, Answer *answer)
{
    KeepsakeSearch search = {.kind = KEEPSAKE_PICTURE};
    Keepsakes found;
    if (!request_whole(request, "of", RECORD_WANTED, &search.record, desk->problems) ||
        !request_yes(request, "away", &search.away, desk->problems) ||
        !keepsakes_find(desk->store, &search, desk->keep, &found, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = begin_list("pictures", desk->keep);
    for (int i = 0; i < found.count; i++) {
        put_keepsake(&json, &found.items[i]);
    }
    answer_list(&json, answer);
}

// The one picture of an id or uid; those that were put away too.
static bool find_picture(Desk *desk, KeepsakeSearch search, Keepsake *picture)
{
    Keepsakes found;
    search.kind = KEEPSAKE_PICTURE;
    search.away = true;
    if (!keepsakes_find(desk->store, &search, desk->keep, &found, desk->problems)) {
        return false;
    }
    if (found.count == 0) {
        return problems_say(desk->problems, PROBLEM_NOT_FOUND, "picture",
                            "this workshop has no picture %s",
                            request_shown(search.uid ? search.uid : "", desk->keep));
    }
    *picture = found.items[0];
    return true;
}

// The picture that the address names.
static bool asked_picture(Desk *desk, const Request *request, Keepsake *picture)
{
    return find_picture(desk, (KeepsakeSearch){.uid = request->word}, picture);
}

void answer_picture_keep(Desk *desk, const Request *request, Answer *answer)
{
    const char *name = request_query(request, "name");
    NewKeepsake made = {.kind = KEEPSAKE_PICTURE,
                        .name = name && *name ? name : "picture",
                        .document = body_of(request)};
    PictureHead head;
    int64_t id = 0;
    Keepsake kept = {0};
    const char *wrong = picture_head_read(request->body, request->body_bytes, &head);
    if (wrong) {
        answer_refuse(desk, 422, "picture", wrong,
                      arena_text(desk->keep,
                                 "a whole JPEG or PNG of up to %d px each way and %d million in "
                                 "all",
                                 (int)PICTURE_SIDE_MAX_PX, (int)PICTURE_MAX_PX / 1000000),
                      answer);
        return;
    }
    if (!request_whole(request, "of", RECORD_WANTED, &made.record, desk->problems) ||
        !keepsake_put(desk->store, &made, &id, desk->problems) ||
        !find_picture(desk, (KeepsakeSearch){.id = id}, &kept)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = {.text.keep = desk->keep};
    json_begin_object(&json, NULL);
    json_text(&json, "uid", kept.uid);
    json_text(&json, "name", kept.name);
    json_text(&json, "type", head.type);
    json_int(&json, "width_px", head.width_px);
    json_int(&json, "height_px", head.height_px);
    json_end_object(&json);
    answer_json(answer, 201, &json.text);
    answer->location = arena_text(desk->keep, "/api/pictures/%s", kept.uid);
}

void answer_picture(Desk *desk, const Request *request, Answer *answer)
{
    Keepsake picture = {0};
    Document document;
    PictureHead head;
    if (!asked_picture(desk, request, &picture) ||
        !keepsake_read(desk->store, picture.id, desk->keep, &document, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    // The type is that of the bytes, whatever the file says of them.
    const char *wrong = picture_head_read(document.data, document.bytes, &head);
    if (wrong) {
        answer_refuse(desk, 404, "picture", wrong, "a JPEG or a PNG", answer);
        return;
    }
    answer_bytes(request, head.type, document.data, document.bytes,
                 arena_text(desk->keep, "\"%s\"", picture.uid), answer);
    answer->lasting = true; // nothing else ever has this uid
}

void answer_picture_away(Desk *desk, const Request *request, Answer *answer)
{
    Keepsake picture = {0};
    bool away = false;
    if (request_yes(request, "away", &away, desk->problems) &&
        asked_picture(desk, request, &picture) &&
        keepsake_put_away(desk->store, picture.id, away, desk->problems)) {
        answer->status = 204;
    } else {
        answer_problems(desk, answer);
    }
}
