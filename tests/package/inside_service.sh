# shellcheck shell=bash
# inside_service.sh: the service under a systemd of its own, from service.sh.
# shellcheck source=tests/package/expect.sh
. /packages/tests/expect.sh

shown() { systemctl show --property="$1" --value panewalk; }

# until_is WHAT EXPECTED COMMAND…: within 60 s.
until_is() {
  local what=$1 expected=$2 found=
  shift 2
  for _ in $(seq 600); do
    found=$("$@" 2>/dev/null) || true
    if [ "$found" = "$expected" ]; then return 0; fi
    sleep 0.1
  done
  expect "$what" "$expected" "$found"
}

# answer METHOD PATH [BODY]: of the API, without a program for it.
answer() {
  exec 7<>/dev/tcp/127.0.0.1/8017
  printf '%s %s HTTP/1.1\r\nHost: 127.0.0.1:8017\r\nContent-Type: application/json\r\nContent-Length: %d\r\nConnection: close\r\n\r\n%s' \
    "$1" "$2" "${#3}" "${3:-}" >&7
  cat <&7
  exec 7>&-
}
mode() { answer GET /api/light '' | sed -nE 's/^  "mode": "(.*)",$/\1/p'; }

until_is "the system" running systemctl is-system-running
trap 'systemctl --no-pager status panewalk; journalctl --no-pager --unit panewalk' ERR
rm -rf /etc/panewalk/site.json
systemctl start panewalk
expect "without a site it does not start" "inactive no" "$(shown ActiveState) $(shown ConditionResult)"

cp -r /usr/share/doc/panewalk/examples/. /etc/panewalk/
mv /etc/panewalk/boathouse.json /etc/panewalk/site.json
# The controllers of the example are on this machine; practice is for those who have none.
sed -i 's/^PANEWALK_OPTIONS=.*/PANEWALK_OPTIONS=--practice/' /etc/default/panewalk
systemctl start panewalk
expect "the service" "active running serves boathouse, 5 props" \
  "$(shown ActiveState) $(shown SubState) $(shown StatusText)"
expect "whose state" "panewalk:panewalk 750" "$(stat -c '%U:%G %a' /var/lib/panewalk)"
expect "what it may do beyond its user" "0000000000000000" \
  "$(sed -nE 's/^CapEff:\s+//p' /proc/"$(shown MainPID)"/status)"

answer POST /api/light '{"prop": "slip-window", "pattern": "chase"}' >/dev/null
until_is "the light" lit mode
before=$(shown MainPID)
systemctl reload panewalk
until_is "read again" 1 sh -c 'journalctl --unit panewalk -o cat | grep -c "site.json was read again"'
until_is "the light goes on" lit mode
expect "the process goes on" "$before 0" "$(shown MainPID) $(shown NRestarts)"

mv /etc/panewalk/site.json /etc/panewalk/whole
echo '{' >/etc/panewalk/site.json
systemctl reload panewalk
until_is "a broken site is a warning" 1 \
  sh -c 'journalctl --unit panewalk -p warning -o cat | grep -c "was not taken; the site from before goes on"'
until_is "the light goes on" lit mode
expect "the process goes on" "$before 0" "$(shown MainPID) $(shown NRestarts)"
mv /etc/panewalk/whole /etc/panewalk/site.json

# The stream alone is held, from outside; the watchdog ends it and another start is dark.
touch /packages/hold
until_is "started again after the stream hung" 1 shown NRestarts
until_is "the service" active shown ActiveState
expect "another process" "yes" "$([ "$(shown MainPID)" != "$before" ] && echo yes)"
until_is "dark after that" silent mode

before=$(shown MainPID)
kill -KILL "$before"
until_is "started again after kill -9" 2 shown NRestarts
until_is "the service" active shown ActiveState

echo 'PANEWALK_OPTIONS=--nonsense' >/etc/default/panewalk
systemctl restart panewalk || true
sleep 3  # RestartSec= is 2
expect "wrong options are not tried for ever" "failed 2" "$(shown ActiveState) $(shown ExecMainStatus)"
echo 'PANEWALK_OPTIONS=--practice' >/etc/default/panewalk
systemctl restart panewalk
expect "the service" active "$(shown ActiveState)"
systemctl stop panewalk
expect "its end" "inactive 0" "$(shown ActiveState) $(shown ExecMainStatus)"
expect "the last line" "Dark, and the streams are ended." "$(journalctl --unit panewalk -o cat -t panewalk | tail -n 1)"
expect "errors in the journal" "The following argument was not expected: --nonsense
Run with --help for more information." "$(journalctl --unit panewalk --boot -p err -o cat -t panewalk)"
echo "said: the service under systemd: started, read again, a hanging stream ended by the watchdog, started again after kill -9, stopped"
