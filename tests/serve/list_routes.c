// Prints the server's routes, one a line: `GET /api/jobs`.
#include "serve/routes.h"

#include <stdio.h>

int main(void)
{
    for (int i = 0; i < route_count; i++) {
        printf("%s %s\n", method_names[routes[i].method], routes[i].pattern);
    }
    return 0;
}
