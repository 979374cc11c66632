// Which program this is, as `--version` and files say it.
#pragma once

#define SEATWRIGHT_VERSION "0.1.0"
