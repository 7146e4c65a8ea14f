"""The two files that a person opens: the command, and the page that says what to do with it."""

from __future__ import annotations

# -B: a shared folder must not fill up with compiled files that outlive the next version. A ._pth file makes Python ignore
# its environment variables, so the flags stand here. %~dp0 is the folder of this file, on a drive or on a share.
STEPWELL_CMD = """\
@echo off
rem Runs Stepwell from the folder in which this file lies. Nothing is installed.
if "%~1"=="" goto help
"%~dp0python\\python.exe" -B -X utf8 -m stepwell %*
exit /b %ERRORLEVEL%
:help
"%~dp0python\\python.exe" -B -X utf8 -m stepwell --help
echo.
echo Open a command prompt to use it. START-HERE.txt says how.
pause
"""

START_HERE = """\
STEPWELL {version}, WITH PYTHON {python}, FOR 64-BIT WINDOWS

Nothing is installed, and nothing is fetched from a network.

1. Press the Windows key, type cmd, press Enter.
2. Go to the folder in which this file lies. On a share:
       pushd \\\\server\\share\\folder
   On a drive with a letter:
       cd /d X:\\folder
3. Try it:
       stepwell --version
       stepwell check protocols
       stepwell build protocols --out "%USERPROFILE%\\Documents\\stepwell-out"
   The last one writes cards and a site into your own documents.
   Open site\\index.html there.
4. Begin your own:
       stepwell new unit "%USERPROFILE%\\Documents\\our-unit" --name "Our unit" --region eu

PROTOCOLS is an invented unit to try things on. Its figures are invented.
Keep your own unit in another folder: this one is replaced as a whole by the
next version.

If Windows says that the program is blocked, a policy of your hospital forbids
programs on this drive. Ask your IT department to allow python\\python.exe in
this folder, or to name a folder that is allowed. Do not work around it.

Comparing two versions kept in git needs git; comparing two folders does not.
The licences of everything in here are in the folder licences.

Not a medical device. Does not replace the maker's instructions, local policy
or licensed judgement.
"""
