#include "options.h"

#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int problems_print(const Problems *problems)
{
    for (int i = 0; i < problems->count; i++) {
        const Problem *problem = &problems->items[i];
        (void)fprintf(stderr, "%s: %s%s%s%s%s\n", problem->where, problem->found,
                      problem->allowed ? "; allowed: " : "",
                      problem->allowed ? problem->allowed : "", problem->remedy ? "; " : "",
                      problem->remedy ? problem->remedy : "");
    }
    return problems_exit_status(problems);
}

static bool read_range(const char *name, const char *text, double least, double most,
                       double *number, Problems *problems)
{
    char *end = NULL;
    const double value = strtod(text, &end);
    if (end == text || *end || !(value >= least && value <= most)) {
        const char *allowed = arena_text(problems->keep, "%g to %g", least, most);
        return problems_add(problems, (Problem){PROBLEM_BAD_INPUT, name, text, allowed, NULL});
    }
    *number = value;
    return true;
}

static bool read_count(const char *name, const char *text, int most, int *count, Problems *problems)
{
    double number = 0;
    if (!read_range(name, text, 1, most, &number, problems)) {
        return false;
    }
    if (number != floor(number)) {
        return problems_say(problems, PROBLEM_BAD_INPUT, name, "%s is no whole number", text);
    }
    *count = (int)number;
    return true;
}

static bool read_option(const char *name, const char *value, Options *options, Problems *problems)
{
    if (strcmp(name, "--data") == 0) {
        options->data = value;
    } else if (strcmp(name, "--instances") == 0) {
        options->instances = value;
    } else if (options->out && strcmp(name, "--out") == 0) {
        options->out = value;
    } else if (options->aim && strcmp(name, "--aim") == 0) {
        options->aim = value;
    } else if (options->flaws && strcmp(name, "--flaws") == 0) {
        options->flaws = value;
    } else if (options->least_m2 > 0 && strcmp(name, "--least") == 0) {
        return read_range(name, value, 1e-6, 100, &options->least_m2, problems);
    } else if (strcmp(name, "--seconds") == 0) {
        return read_range(name, value, 1e-3, 1e5, &options->seconds, problems);
    } else if (options->seeds && strcmp(name, "--seeds") == 0) {
        return read_count(name, value, SEEDS_MAX, &options->seeds, problems);
    } else if (options->first && strcmp(name, "--first") == 0) {
        return read_count(name, value, 1000000, &options->first, problems);
    } else if (options->threads && strcmp(name, "--threads") == 0) {
        return read_count(name, value, THREADS_MAX, &options->threads, problems);
    } else if (options->beside && strcmp(name, "--beside") == 0) {
        return read_count(name, value, THREADS_MAX, &options->beside, problems);
    } else {
        return problems_add(problems, (Problem){PROBLEM_BAD_INPUT, name, "an unknown option", NULL,
                                                "see docs/benches.md"});
    }
    return true;
}

bool options_read(int count, char **words, Options *options, Problems *problems)
{
    for (int i = 1; i < count; i += 2) {
        if (i + 1 == count) {
            return problems_say(problems, PROBLEM_BAD_INPUT, words[i], "no value behind it");
        }
        if (!read_option(words[i], words[i + 1], options, problems)) {
            return false;
        }
    }
    return true;
}

static int by_name(const void *left, const void *right)
{
    const char *const *a = left;
    const char *const *b = right;
    return strcmp(*a, *b);
}

static bool add_name(InstanceNames *names, const char *name, Problems *problems)
{
    if (names->count == INSTANCES_MAX) {
        return problems_say(problems, PROBLEM_BAD_INPUT, "instances", "more than %d",
                            INSTANCES_MAX);
    }
    names->items[names->count++] = name;
    return true;
}

static bool list_folder(const char *data, Arena *keep, InstanceNames *names, Problems *problems)
{
    DIR *folder = opendir(data);
    if (!folder) {
        return problems_say(problems, PROBLEM_NOT_FOUND, "--data", "no folder %s", data);
    }
    bool listed = true;
    const struct dirent *entry;
    while (listed && (entry = readdir(folder))) {
        const size_t length = strlen(entry->d_name);
        if (length > 5 && strcmp(entry->d_name + length - 5, ".json") == 0 &&
            strcmp(entry->d_name, "published_densities.json") != 0) {
            listed =
                add_name(names, arena_text(keep, "%.*s", (int)length - 5, entry->d_name), problems);
        }
    }
    (void)closedir(folder);
    qsort(names->items, (size_t)names->count, sizeof *names->items, by_name);
    return listed;
}

bool instance_names(const Options *options, Arena *keep, InstanceNames *names, Problems *problems)
{
    names->items = ARENA_ARRAY(keep, const char *, INSTANCES_MAX);
    if (!options->instances) {
        return list_folder(options->data, keep, names, problems) &&
               (names->count > 0 || problems_say(problems, PROBLEM_NOT_FOUND, "--data",
                                                 "no instances in %s", options->data));
    }
    char *list = arena_copy_text(keep, options->instances);
    char *state = NULL;
    for (char *name = strtok_r(list, ",", &state); name; name = strtok_r(NULL, ",", &state)) {
        if (!add_name(names, name, problems)) {
            return false;
        }
    }
    return names->count > 0 || problems_say(problems, PROBLEM_BAD_INPUT, "--instances", "no name");
}

const char *instance_path(const Options *options, const char *name, Arena *keep)
{
    return arena_text(keep, "%s/%s.json", options->data, name);
}
