#include "job/asked_pairing.h"

#include "job/reading.h"

static const Field pairing_fields[] = {
    {.key = "code", .kind = FIELD_TEXT, .offset = offsetof(AskedPairing, code), .needed = ALWAYS},
    {.key = "name", .kind = FIELD_TEXT, .offset = offsetof(AskedPairing, name), .needed = ALWAYS},
};

static const ObjectType pairing_type = {
    .name = "pairing",
    .bytes = sizeof(AskedPairing),
    .fields = pairing_fields,
    .field_count = sizeof pairing_fields / sizeof pairing_fields[0],
};

bool asked_pairing_read(const char *text, size_t bytes, Arena *keep, AskedPairing *pairing,
                        Problems *problems)
{
    const SourceText whole = {text, bytes, "pairing", ASKED_PAIRING_BYTES_MAX,
                              "a code and a name: { \"code\": \"...\", \"name\": \"...\" }"};
    return read_asked(whole, &pairing_type, false, keep, pairing, problems);
}
