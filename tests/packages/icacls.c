// Debian 12's wine has an icacls that does nothing. For trials under wine this stands in for the one of Windows, as far as the program asks it:
// `icacls PATH /inheritance:r /grant:r *SID:RIGHTS...` takes away what is inherited and lets in those who are named, and nobody else (Microsoft,
// "icacls"); RIGHTS are F, before it (OI)(CI) for what will be made in a folder. Anything else is refused. With PATH alone it shows the rights, as SDDL.
// Wine keeps of them what fits into the rights of Unix. It is never handed out.
#include <windows.h>
#include <aclapi.h>
#include <sddl.h>
#include <stdio.h>
#include <wchar.h>

static int shown(wchar_t *path) {
  PACL list;
  PSECURITY_DESCRIPTOR rights;
  wchar_t *text;
  if (GetNamedSecurityInfoW(path, SE_FILE_OBJECT, DACL_SECURITY_INFORMATION, NULL, NULL, &list, NULL, &rights) != ERROR_SUCCESS) return 1;
  if (!ConvertSecurityDescriptorToStringSecurityDescriptorW(rights, SDDL_REVISION_1, DACL_SECURITY_INFORMATION, &text, NULL)) return 1;
  printf("%ls\r\n", text);
  return 0;
}

int wmain(int count, wchar_t **words) {
  EXPLICIT_ACCESSW entries[8] = {0};
  SECURITY_DESCRIPTOR whole;
  PACL list;
  int named = 0;
  if (count == 2) return shown(words[1]);
  if (count < 5 || count > 12 || wcscmp(words[2], L"/inheritance:r") != 0 || wcscmp(words[3], L"/grant:r") != 0) return 1;
  for (int n = 4; n < count; n++, named++) {
    EXPLICIT_ACCESSW *entry = &entries[named];
    wchar_t *rights = wcsrchr(words[n], L':');
    PSID sid;
    if (words[n][0] != L'*' || !rights) return 1;
    *rights++ = 0;
    if (!ConvertStringSidToSidW(words[n] + 1, &sid)) return 1;
    if (wcscmp(rights, L"(OI)(CI)F") == 0)
      entry->grfInheritance = SUB_CONTAINERS_AND_OBJECTS_INHERIT;
    else if (wcscmp(rights, L"F") != 0)
      return 1;
    entry->grfAccessPermissions = FILE_ALL_ACCESS;
    entry->grfAccessMode = SET_ACCESS;
    entry->Trustee.TrusteeForm = TRUSTEE_IS_SID;
    entry->Trustee.ptstrName = (wchar_t *)sid;
  }
  if (SetEntriesInAclW(named, entries, NULL, &list) != ERROR_SUCCESS) return 1;
  if (!InitializeSecurityDescriptor(&whole, SECURITY_DESCRIPTOR_REVISION) || !SetSecurityDescriptorDacl(&whole, TRUE, list, FALSE)) return 1;
  if (!SetSecurityDescriptorControl(&whole, SE_DACL_PROTECTED, SE_DACL_PROTECTED)) return 1;
  return SetFileSecurityW(words[1], DACL_SECURITY_INFORMATION | PROTECTED_DACL_SECURITY_INFORMATION, &whole) ? 0 : 1;
}
