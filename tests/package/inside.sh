# shellcheck shell=bash
# inside.sh STEP: one step of in_root.sh, within the bare Debian.
# shellcheck source=tests/package/expect.sh
. /packages/tests/expect.sh

examples=/usr/share/doc/panewalk/examples
options='PANEWALK_OPTIONS="--practice --listen 127.0.0.1:8017"'
# RFC 4180; the entries of tests/unit/logbook/first_schema.hpp.
entries='1 2 4 9'

apt() { apt-get -q -o Dpkg::Use-Pty=0 "$@"; }
# KiB. Under qemu a process is much larger by itself, so cat is the measure.
most_more=16384

owner_of() { stat -c '%U:%G %a' "$1"; }
as_panewalk() {
  setpriv --reuid panewalk --regid panewalk --clear-groups env STATE_DIRECTORY=/var/lib/panewalk "$@"
}
sums() { (cd / && sha256sum "$@"); }
wanted_by() { readlink /etc/systemd/system/multi-user.target.wants/panewalk.service || echo none; }

install_older() {
  apt update
  apt install -y --no-install-recommends /packages/older.deb
  expect "version" "0.0.9" "$(dpkg-query -W -f '${Version}' panewalk)"
  expect "the folder of the site" "root:panewalk 2775" "$(owner_of /etc/panewalk)"
  expect "what starts with the machine" "/lib/systemd/system/panewalk.service" "$(wanted_by)"
  expect "the user" "panewalk:/var/lib/panewalk:/usr/sbin/nologin" \
    "$(getent passwd panewalk | cut -d: -f1,6,7)"
  expect "its options" 'PANEWALK_OPTIONS=' "$(grep -v '^#' /etc/default/panewalk)"
  expect "changed files of the package" "" "$(dpkg --verify panewalk)"
}

# A busy machine may lose a picture: three tries.
demo() {
  local try said=
  for try in 1 2 3; do
    said=$(panewalk demo "$examples/boathouse.json" slip-window) || true
    if [[ $said = *"Verdict: every pixel lit where the map says, in all 69 pictures."* ]]; then break; fi
  done
  expect "the end of the demo" "Verdict: every pixel lit where the map says, in all 69 pictures.
Dark, and the streams are ended." "$(tail -n 2 <<<"$said")"
  echo "said: $(uname -m): the demo of the package: every pixel lit where the map says, in all 69 pictures (try $try)"
}

put_site() {
  cp -r /packages/tests/older-site/. /etc/panewalk/
  sed -i "s|^PANEWALK_OPTIONS=.*|$options|" /etc/default/panewalk
  install -d -o panewalk -g panewalk -m 750 /var/lib/panewalk
  install -o panewalk -g panewalk -m 600 /packages/logbook.sqlite /var/lib/panewalk/logbook.sqlite
  sums /etc/panewalk/site.json /etc/panewalk/props/slip-window.json /etc/default/panewalk >/packages/sums
}

upgrade() {
  # An administrator took it out of the start of the machine.
  rm /etc/systemd/system/multi-user.target.wants/panewalk.service
  apt install -y --no-install-recommends /packages/new.deb
  expect "version" "panewalk $VERSION" "$(panewalk --version)"
  expect "the builder's files" "$(cat /packages/sums)" \
    "$(sums /etc/panewalk/site.json /etc/panewalk/props/slip-window.json /etc/default/panewalk)"
  expect "what starts with the machine" "none" "$(wanted_by)"
  expect "the folder of the site" "root:panewalk 2775" "$(owner_of /etc/panewalk)"
  expect "the state" "panewalk:panewalk 750" "$(owner_of /var/lib/panewalk)"
}

# KiB that a process holds, without the code that qemu makes of it (the mapping that may be written and run).
resident() {
  awk '/^[0-9a-f]+-[0-9a-f]+ / { counts = $2 !~ /^rwx/ } /^Rss:/ && counts { sum += $2 } END { print sum }' \
    "/proc/$1/smaps"
}

# The daemon as the service runs it, until it is ready.
serve_once() {
  local line
  # shellcheck disable=SC1091
  . /etc/default/panewalk
  # shellcheck disable=SC2086  # the options are words
  coproc daemon { exec setpriv --reuid panewalk --regid panewalk --clear-groups env \
    STATE_DIRECTORY=/var/lib/panewalk panewalk serve /etc/panewalk/site.json $PANEWALK_OPTIONS; }
  # shellcheck disable=SC2154  # coproc sets it
  pid=$daemon_PID
  read -r -t 120 line <&"${daemon[0]}"
  expect "the first line of serve" "panewalk serves boathouse at http://127.0.0.1:8017/" "$line"
}

numbers() {
  as_panewalk panewalk logbook /etc/panewalk/site.json --as csv | sed -nE 's/^([0-9]+),.*/\1/p' | paste -sd ' '
}

serve() {
  expect "the older logbook" "1 /var/lib/panewalk/logbook.sqlite: this is the logbook of an older Panewalk: its \
schema is 1; run panewalk serve once as a user who may write it" \
    "$(said=$(as_panewalk panewalk logbook /etc/panewalk/site.json 2>&1) && echo "0 $said" || echo "$? $said")"
  serve_once
  local kib calm pipe
  kib=$(resident "$pid")
  pipe=$(mktemp -u)
  mkfifo "$pipe"
  cat <"$pipe" >/dev/null &
  calm=$!
  exec 9>"$pipe"
  until [ "$(cat "/proc/$calm/comm")" != bash ]; do :; done
  local more=$((kib - $(resident "$calm")))
  exec 9>&-
  echo "said: $(uname -m): serve, idle with one prop, holds $kib KiB, $more more than cat (at most $most_more)"
  if [ "$more" -gt "$most_more" ]; then expect "memory" "at most $most_more KiB" "$more KiB"; fi
  kill -TERM "$pid"
  wait "$pid" || expect "the end of serve" 0 $?
  expect "entries after the upgrade" "$entries" "$(numbers)"
  # A correction that is accepted on the page is written beside the site and put in its place.
  as_panewalk sh -c 'echo x >/etc/panewalk/site.json.new && rm /etc/panewalk/site.json.new'
}

kept() {
  expect "the builder's site" "$(head -n 2 /packages/sums)" \
    "$(sums /etc/panewalk/site.json /etc/panewalk/props/slip-window.json)"
  [ -s /var/lib/panewalk/logbook.sqlite ]
}

remove() {
  sums /var/lib/panewalk/logbook.sqlite >/packages/logbook.sum
  apt remove -y panewalk
  expect "the program" "" "$(command -v panewalk || true)"
  expect "the options" "$(tail -n 1 /packages/sums)" "$(sums /etc/default/panewalk)"
  kept
  expect "the logbook" "$(cat /packages/logbook.sum)" "$(sums /var/lib/panewalk/logbook.sqlite)"
}

install_again() {
  apt install -y --no-install-recommends /packages/new.deb
  expect "the options" "$(tail -n 1 /packages/sums)" "$(sums /etc/default/panewalk)"
  expect "entries" "$entries" "$(numbers)"
}

purge() {
  sums /var/lib/panewalk/logbook.sqlite >/packages/logbook.sum
  local what said
  said=$(apt purge -y panewalk)
  echo "$said"
  for what in /var/lib/panewalk /etc/panewalk; do
    expect "what purge says of $what" \
      "Left as it is, for it can't be had again: $what; remove it yourself if you don't want it." \
      "$(grep "^Left as it is.* $what;" <<<"$said")"
  done
  kept
  expect "the logbook" "$(cat /packages/logbook.sum)" "$(sums /var/lib/panewalk/logbook.sqlite)"
  expect "the user" "" "$(getent passwd panewalk || true)"
  expect "the group" "" "$(getent group panewalk || true)"
  expect "what is left" "/etc/panewalk
/var/lib/panewalk" "$(find / -xdev -path /packages -prune -o -path /proc -prune -o -name '*panewalk*' -print |
    sort)"
  expect "the state" "/var/lib/panewalk/logbook.sqlite" "$(find /var/lib/panewalk -mindepth 1)"
  expect "files of nobody" "" "$(find /etc /var -xdev \( -nouser -o -nogroup \))"
}

install_after_purge() {
  apt install -y --no-install-recommends /packages/new.deb
  expect "the options" 'PANEWALK_OPTIONS=' "$(grep -v '^#' /etc/default/panewalk)"
  expect "what starts with the machine" "/lib/systemd/system/panewalk.service" "$(wanted_by)"
  sed -i "s|^PANEWALK_OPTIONS=.*|$options|" /etc/default/panewalk
}

serve_again() {
  serve_once
  kill -TERM "$pid"
  wait "$pid" || expect "the end of serve" 0 $?
  expect "entries" "$entries" "$(numbers)"
}

"$1"
