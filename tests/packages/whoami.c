// Debian 12's wine has a whoami that knows no options. For trials under wine this stands in for the one of Windows, as far as the program asks it:
// `whoami /user /fo csv /nh` says name and number (SID) of the account (Microsoft, "whoami"). It is never handed out.
#include <windows.h>
#include <sddl.h>
#include <stdio.h>
#include <string.h>

int main(int count, char **words) {
  const char *asked[] = {"/user", "/fo", "csv", "/nh"};
  union {
    TOKEN_USER user;
    char room[256];
  } told;
  HANDLE token;
  DWORD length;
  char *sid;
  if (count != 5) return 1;
  for (int n = 0; n < 4; n++)
    if (strcmp(words[n + 1], asked[n]) != 0) return 1;
  if (!OpenProcessToken(GetCurrentProcess(), TOKEN_QUERY, &token)) return 1;
  if (!GetTokenInformation(token, TokenUser, &told, sizeof told, &length)) return 1;
  if (!ConvertSidToStringSidA(told.user.User.Sid, &sid)) return 1;
  printf("\"wine\\keeper\",\"%s\"\r\n", sid);
  return 0;
}
