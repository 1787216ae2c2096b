; The installer for Windows: for one user, without an administrator. makensis gets VERSION (text), NUMBERS (four of them), STAGE (the folder with
; what is installed), GUIDES (a file that deletes the guides by name), ICON and OUT.
;
; What is installed is listed by name below, and only that is taken out again: nothing is deleted by folder, so that a kennel is never touched,
; wherever it stands. What the program remembers of the user (one line in %APPDATA%\litterfolio) stays too.
Target amd64-unicode
!include "MUI2.nsh"
!include "FileFunc.nsh"

!define UNINSTALL "Software\Microsoft\Windows\CurrentVersion\Uninstall\litterfolio"

Name "litterfolio"
OutFile "${OUT}"
InstallDir "$LOCALAPPDATA\Programs\litterfolio"
InstallDirRegKey HKCU "${UNINSTALL}" "InstallLocation"
RequestExecutionLevel user
SetCompressor /SOLID lzma
SetDateSave on
BrandingText "litterfolio ${VERSION}"

VIProductVersion "${NUMBERS}"
VIAddVersionKey "ProductName" "litterfolio"
VIAddVersionKey "ProductVersion" "${VERSION}"
VIAddVersionKey "FileVersion" "${VERSION}"
VIAddVersionKey "FileDescription" "Installs litterfolio"
VIAddVersionKey "LegalCopyright" "MIT or Apache-2.0"

!define MUI_ICON "${ICON}"
!define MUI_UNICON "${ICON}"
!define MUI_FINISHPAGE_RUN "$INSTDIR\litterfolio.exe"
!define MUI_FINISHPAGE_RUN_TEXT "Open the desk"
!define MUI_UNCONFIRMPAGE_TEXT_TOP "litterfolio is taken out of this account. Your kennel, its records and its pictures stay where they are."
!insertmacro MUI_PAGE_WELCOME
!insertmacro MUI_PAGE_DIRECTORY
!insertmacro MUI_PAGE_INSTFILES
!insertmacro MUI_PAGE_FINISH
!insertmacro MUI_UNPAGE_CONFIRM
!insertmacro MUI_UNPAGE_INSTFILES
!insertmacro MUI_LANGUAGE "English"

; A program that runs cannot be replaced or deleted: its desk has to be ended first, by whoever opened it.
!macro WAIT_FOR_DESK UN
Function ${UN}WaitForDesk
  again:
    IfFileExists "$INSTDIR\litterfolio.exe" 0 free
    ClearErrors
    FileOpen $0 "$INSTDIR\litterfolio.exe" a
    IfErrors open
    FileClose $0
    Goto free
  open:
    IfSilent 0 +3
      SetErrorLevel 3
      Abort
    MessageBox MB_RETRYCANCEL|MB_ICONEXCLAMATION "litterfolio is open. End its desk first (This kennel, or close its window)." IDRETRY again
    Abort
  free:
FunctionEnd
!macroend
!insertmacro WAIT_FOR_DESK ""
!insertmacro WAIT_FOR_DESK "un."

Section "litterfolio"
  Call WaitForDesk
  SetOutPath "$INSTDIR"
  File "${STAGE}\litterfolio.exe"
  File "${STAGE}\litterfolio.ico"
  File "${STAGE}\LICENCES.txt"
  File "${STAGE}\README.txt"
  SetOutPath "$INSTDIR\guide"
  File "${STAGE}\guide\*.md"
  ; The folder that the start-menu entry begins in: the user's own.
  SetOutPath "$PROFILE"
  CreateShortcut "$SMPROGRAMS\litterfolio.lnk" "$INSTDIR\litterfolio.exe" "" "$INSTDIR\litterfolio.ico" 0 SW_SHOWMINIMIZED "" "Open the desk"
  WriteUninstaller "$INSTDIR\uninstall.exe"
  WriteRegStr HKCU "${UNINSTALL}" "DisplayName" "litterfolio"
  WriteRegStr HKCU "${UNINSTALL}" "DisplayVersion" "${VERSION}"
  WriteRegStr HKCU "${UNINSTALL}" "DisplayIcon" "$INSTDIR\litterfolio.ico"
  WriteRegStr HKCU "${UNINSTALL}" "Publisher" "the litterfolio contributors"
  WriteRegStr HKCU "${UNINSTALL}" "InstallLocation" "$INSTDIR"
  WriteRegStr HKCU "${UNINSTALL}" "UninstallString" '"$INSTDIR\uninstall.exe"'
  WriteRegStr HKCU "${UNINSTALL}" "QuietUninstallString" '"$INSTDIR\uninstall.exe" /S'
  WriteRegDWORD HKCU "${UNINSTALL}" "NoModify" 1
  WriteRegDWORD HKCU "${UNINSTALL}" "NoRepair" 1
  ${GetSize} "$INSTDIR" "/S=0K" $0 $1 $2
  WriteRegDWORD HKCU "${UNINSTALL}" "EstimatedSize" $0
SectionEnd

Section "Uninstall"
  Call un.WaitForDesk
  Delete "$INSTDIR\litterfolio.exe"
  Delete "$INSTDIR\litterfolio.ico"
  Delete "$INSTDIR\LICENCES.txt"
  Delete "$INSTDIR\README.txt"
  !include "${GUIDES}"
  RMDir "$INSTDIR\guide"
  Delete "$INSTDIR\uninstall.exe"
  ; Goes only when it is empty: what somebody else put there stays.
  RMDir "$INSTDIR"
  Delete "$SMPROGRAMS\litterfolio.lnk"
  DeleteRegKey HKCU "${UNINSTALL}"
SectionEnd
