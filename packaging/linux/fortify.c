// Debian's libunwind was compiled for glibc with checked printing; musl has no such function. Only the library's own logging calls it.
#include <stdarg.h>
#include <stdio.h>

int __fprintf_chk(FILE *to, int flag, const char *format, ...) {
  va_list values;
  va_start(values, format);
  (void)flag;
  int written = vfprintf(to, format, values);
  va_end(values);
  return written;
}
