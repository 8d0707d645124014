/*
 * A serial device that is not there: a pseudo-terminal whose path appears under the name given. What comes on the
 * standard input goes out on it; when that ends the "cable" is pulled: name and device go, and what was not read yet.
 */
#define _XOPEN_SOURCE 600
#define _DEFAULT_SOURCE
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <termios.h>
#include <unistd.h>

int main(int argc, char **argv) {
  char buffer[4096], aside[4096];
  struct termios raw;
  ssize_t length;
  int device = posix_openpt(O_RDWR | O_NOCTTY);
  if (argc != 2 || device < 0 || grantpt(device) != 0 || unlockpt(device) != 0) return 1;
  int terminal = open(ptsname(device), O_RDWR | O_NOCTTY);
  if (terminal < 0 || tcgetattr(terminal, &raw) != 0) return 2;
  raw.c_lflag &= (tcflag_t)~(ICANON | ECHO | ISIG);
  raw.c_iflag &= (tcflag_t)~(ICRNL | IXON);
  raw.c_oflag &= (tcflag_t)~OPOST;
  if (tcsetattr(terminal, TCSANOW, &raw) != 0) return 3;
  snprintf(aside, sizeof aside, "%s.new", argv[1]);
  if (symlink(ptsname(device), aside) != 0 || rename(aside, argv[1]) != 0) return 4;
  puts("there");
  fflush(stdout);
  while ((length = read(0, buffer, sizeof buffer)) > 0) {
    for (ssize_t sent = 0; sent < length;) {
      ssize_t part = write(device, buffer + sent, (size_t)(length - sent));
      if (part < 0) return 5;
      sent += part;
    }
  }
  unlink(argv[1]);
  return 0;
}
