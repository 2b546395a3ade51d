#!/bin/sh
# boot.sh ROOT [INIT…]: in the namespaces that it is started in (unshare --mount --pid --net --uts --ipc --cgroup), ROOT becomes the machine.
set -e
root=$1
shift
mount --make-rprivate /
mount --bind "$root" "$root"
mount -t proc proc "$root/proc"
mount -t sysfs sysfs "$root/sys"
mount -t cgroup2 cgroup2 "$root/sys/fs/cgroup" 2>/dev/null || true
mount -t tmpfs -o mode=755 tmpfs "$root/dev"
for name in null zero full random urandom tty; do
  touch "$root/dev/$name"
  mount --bind "/dev/$name" "$root/dev/$name"
done
ln -s /proc/self/fd "$root/dev/fd"
mkdir "$root/dev/shm" "$root/dev/pts"
mount -t tmpfs -o mode=1777 tmpfs "$root/dev/shm"
mount -t devpts -o newinstance,ptmxmode=666 devpts "$root/dev/pts"
ln -s pts/ptmx "$root/dev/ptmx"
mount -t tmpfs -o mode=755 tmpfs "$root/run"
touch "$root/run/is-ours"
mount -t tmpfs -o mode=1777 tmpfs "$root/tmp"
ip link set lo up
cd "$root"
mkdir -p .old
pivot_root . .old
umount -l .old
exec env -i container=test PATH=/usr/sbin:/usr/bin:/sbin:/bin "$@" </dev/null
