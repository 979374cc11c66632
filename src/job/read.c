// Reads the text of a job: JSON, its mistakes said in our words, then the tables.
#include "job/reading.h"
#include "job/scan.h"

#include "base/text.h"

#include <string.h>

// The JSON library's messages, by how they begin, in words for a chair maker.
// `%s` stands for what was found there.
typedef struct SyntaxWords {
    const char *library;
    const char *near; ///< only when one of these was found there; NULL: whatever was
    const char *found;
    const char *allowed;
    const char *remedy;
} SyntaxWords;

static const SyntaxWords syntax_words[] = {
    {"unable to decode byte", NULL, "a byte that is no UTF-8 text", NULL,
     "save the file with the encoding UTF-8"},
    {"premature end of input", NULL, "the text ends in the middle", NULL,
     "close every quote and bracket"},
    {"unexpected newline", NULL, "a line break inside a text", "\\n for a line break",
     "close the text with a \" on the same line"},
    {"control character", NULL, "a control character inside a text",
     "printable characters; \\t for a tab", NULL},
    {"invalid escape", NULL, "a backslash that escapes nothing", "\\\\ for a backslash", NULL},
    {"invalid Unicode", NULL, "an escape \\u that is no character", NULL,
     "write the character itself"},
    {"too big", NULL, "a whole number with too many digits", NULL, NULL},
    {"real number overflow", NULL, "a number too large to be read: %s", NULL, NULL},
    {"\\u0000", NULL, "the character NUL inside a text", NULL, "take it out"},
    {"NUL byte", NULL, "the character NUL inside a key", NULL, "take it out"},
    {"duplicate object key", NULL, "a key that stands in this object already: %s", NULL,
     "each key may stand once"},
    {"string or '}' expected", "}", "a comma before a closing }", NULL,
     "take out the comma behind the last entry"},
    {"string or '}' expected", "/", "a comment, which JSON has not", NULL, "put it into \"notes\""},
    {"string or '}' expected", "'", "a single quote", "keys in double quotes", NULL},
    {"string or '}' expected", "0123456789", "a number where a key belongs",
     "a key in double quotes", "a decimal comma stands in quotes: \"18,5\"; or write 18.5"},
    {"string or '}' expected", ",", "a comma without an entry before it", NULL,
     "take out the comma"},
    {"string or '}' expected", NULL, "%s where a key belongs", "a key in double quotes", NULL},
    {"':' expected", NULL, "%s where the colon behind a key belongs", ":", NULL},
    {"'}' expected", "0123456789/", "%s where a comma or } belongs", ", or }",
     "a number with a fraction stands in quotes: \"18 1/2\""},
    {"'}' expected", NULL, "%s where a comma or } belongs", ", or }", NULL},
    {"']' expected", "0123456789/", "%s where a comma or ] belongs", ", or ]",
     "a number with a fraction stands in quotes: \"18 1/2\""},
    {"']' expected", NULL, "%s where a comma or ] belongs", ", or ]", NULL},
    {"'[' or '{' expected", NULL, "%s where the document's { belongs", "{", NULL},
    {"unexpected token", "]", "a comma before a closing ]", NULL,
     "take out the comma behind the last entry"},
    {"unexpected token", NULL, "%s where a value belongs", NULL, NULL},
    {"invalid token", "/", "a comment, which JSON has not", NULL, "put it into \"notes\""},
    {"invalid token", "'", "a single quote", "texts in double quotes", NULL},
    {"invalid token", NULL, "%s, which is no value in JSON",
     "a number such as 0.5, a text in double quotes, true or false", NULL},
    {"end of file expected", NULL, "%s behind the end of the document", NULL,
     "take out what stands behind the last }"},
};

static bool begins_with(const char *text, const char *begin)
{
    return strncmp(text, begin, strlen(begin)) == 0;
}

// What the library found, out of `... near 'X'`; "" at the end of the file.
static const char *found_there(const char *message, Arena *keep)
{
    static const char mark[] = " near '";
    const char *near = strstr(message, mark);
    if (!near) {
        return "";
    }
    char *found = arena_copy_text(keep, near + sizeof mark - 1);
    const size_t length = strlen(found);
    if (length > 0 && found[length - 1] == '\'') {
        found[length - 1] = '\0';
    }
    return found;
}

// A message with what was found in its place; a text brings its own quotes.
static const char *filled_in(const char *message, const char *near, const Reading *reading)
{
    const char *hole = strstr(message, "%s");
    if (!hole) {
        return message;
    }
    const char *quoted = reading_quoted(reading, *near == '"' ? near + 1 : near);
    const size_t length = strlen(quoted);
    if (*near == '"' && length > 2 && quoted[length - 2] == '"') {
        quoted = arena_text(reading_words(reading), "%.*s", (int)(length - 1), quoted);
    }
    return arena_text(reading_words(reading), "%.*s%s%s", (int)(hole - message), message, quoted,
                      hole + 2);
}

static bool read_syntax_fault(const json_error_t *error, const char *source, Reading *reading)
{
    Arena *words = reading_words(reading);
    const char *near = found_there(error->text, words);
    // The library counts up to the end of what it found; people look at its beginning.
    const int begin = error->column - text_columns(near) + 1;
    const char *where = arena_text(words, "%s:%d:%d", source, error->line, begin > 0 ? begin : 1);
    Problem problem = {.kind = PROBLEM_BAD_INPUT, .where = where, .found = "no JSON"};
    if (strstr(error->text, "near end of file")) {
        problem.found = "the text ends in the middle";
        problem.remedy = "close every quote and bracket";
        return problems_add(reading->problems, problem);
    }
    for (size_t i = 0; i < sizeof syntax_words / sizeof syntax_words[0]; i++) {
        const SyntaxWords *word = &syntax_words[i];
        if (begins_with(error->text, word->library) &&
            (!word->near || (*near && strchr(word->near, *near)))) {
            problem.found = filled_in(word->found, near, reading);
            problem.allowed = word->allowed;
            problem.remedy = word->remedy;
            break;
        }
    }
    return problems_add(reading->problems, problem);
}

// The text as a tree, or NULL with its mistakes told. Repeated keys are told too, but
// the tree is made all the same, so that other mistakes come up in the same go.
static json_t *read_tree(const char *text, size_t bytes, const char *source, Reading *reading)
{
    json_error_t error;
    json_t *tree = json_loadb(text, bytes, JSON_REJECT_DUPLICATES, &error);
    if (!tree && json_error_code(&error) == json_error_duplicate_key) {
        const json_error_t repeated = error;
        tree = json_loadb(text, bytes, 0, &error);
        if (tree && scan_repeated_keys(text, bytes, JOB_DEPTH_MAX, reading->problems) == 0) {
            // Two keys that differ in their escapes only.
            (void)read_syntax_fault(&repeated, source, reading);
        }
    }
    if (!tree) {
        (void)read_syntax_fault(&error, source, reading);
    }
    return tree;
}

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t' || byte == '\r' || byte == '\n';
}

static bool check_text(const SourceText *text, Reading *reading)
{
    Arena *words = reading_words(reading);
    Problem problem = {.kind = PROBLEM_BAD_INPUT, .where = text->source};
    if (text->count > text->most) {
        problem.found = arena_text(words, "%zu bytes", text->count);
        problem.allowed = arena_text(words, "at most %zu bytes", text->most);
        return problems_add(reading->problems, problem);
    }
    size_t blank = 0;
    while (blank < text->count && is_blank(text->bytes[blank])) {
        blank++;
    }
    if (blank == text->count) {
        problem.found = "is empty";
        problem.allowed = text->example;
        return problems_add(reading->problems, problem);
    }
    TextPlace place;
    if (!scan_depth(text->bytes, text->count, JOB_DEPTH_MAX, &place)) {
        problem.where = arena_text(words, "%s:%d:%d", text->source, place.line, place.column);
        problem.found = "too many objects and lists in one another";
        problem.allowed = arena_text(words, "at most %d", (int)JOB_DEPTH_MAX);
        return problems_add(reading->problems, problem);
    }
    return true;
}

json_t *reading_tree(Reading *reading, SourceText text)
{
    static const char byte_order_mark[] = "\xEF\xBB\xBF"; // some editors put it in front
    const size_t mark_bytes = sizeof byte_order_mark - 1;
    if (text.count >= mark_bytes && memcmp(text.bytes, byte_order_mark, mark_bytes) == 0) {
        text.bytes += mark_bytes;
        text.count -= mark_bytes;
    }
    return check_text(&text, reading) ? read_tree(text.bytes, text.count, text.source, reading)
                                      : NULL;
}

static bool read_into(Reading *reading, SourceText text, const ObjectType *type, void *object)
{
    const int before = reading->problems->mistakes;
    json_t *tree = reading_tree(reading, text);
    if (!tree) {
        return false;
    }
    memset(object, 0, type->bytes);
    const bool good = read_object(reading, NULL, type, tree, object, false);
    json_decref(tree);
    return good && reading->problems->mistakes == before;
}

// Reads a text as the document that a table describes; `object` is untouched where the text
// is no JSON.
static bool read_document(SourceText text, const ObjectType *type, Arena *keep, void *object,
                          Problems *problems)
{
    Reading reading = {
        .keep = keep, .money_decimals = currency_decimals(NULL), .problems = problems};
    return read_into(&reading, text, type, object);
}

bool read_asked(SourceText text, const ObjectType *type, bool says_more, Arena *keep, void *object,
                Problems *problems)
{
    Reading reading = {.says_more = says_more, .keep = keep, .problems = problems};
    void *read = arena_alloc(keep, 1, type->bytes);
    const bool good = read_into(&reading, text, type, read);
    if (good) {
        memcpy(object, read, type->bytes);
    }
    return good;
}

static const char job_example[] = "a job: { \"seatwright\": 1, ... }";

bool job_is_document(const char *text, size_t bytes, const char *source, Arena *keep,
                     Problems *problems)
{
    Reading reading = {.keep = keep, .problems = problems};
    const int before = problems->mistakes;
    json_t *tree =
        reading_tree(&reading, (SourceText){text, bytes, source, JOB_BYTES_MAX, job_example});
    if (tree && !json_is_object(tree)) {
        (void)problems_add(problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                               .where = source,
                                               .found = reading_describe(&reading, tree),
                                               .allowed = job_example});
    }
    json_decref(tree);
    return problems->mistakes == before;
}

bool job_read(const char *text, size_t bytes, const char *source, Arena *keep, Job *job,
              Problems *problems)
{
    const SourceText whole = {text, bytes, source, JOB_BYTES_MAX, job_example};
    return read_document(whole, &job_type, keep, job, problems);
}

bool job_hide_read(const char *text, size_t bytes, const char *source, Arena *keep, JobHide *hide,
                   Problems *problems)
{
    const SourceText whole = {text, bytes, source, JOB_BYTES_MAX,
                              "a hide: { \"seatwright\": 1, \"units\": ..., \"hide\": { ... } }"};
    return read_document(whole, &hide_document_type, keep, hide, problems);
}
